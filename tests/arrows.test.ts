import { readdirSync, readFileSync } from 'node:fs'
import { join, relative, sep } from 'node:path'
import { describe, expect, test } from 'vitest'
import { breaches, importsOf, namesWithoutSubject } from './support/arrows.ts'

const top = join(import.meta.dirname, '..')

const filesUnder = (folder: string): string[] =>
  readdirSync(join(top, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => relative(top, join(entry.parentPath, entry.name)).split(sep).join('/'))

describe('this house', () => {
  const files = ['protocols', 'server', 'simulator', 'web'].flatMap(filesUnder)

  test('imports run along the arrows, without cycles, and the core is pure', () => {
    const sources = files.filter((file) => file.endsWith('.ts'))
    expect(sources.length).toBeGreaterThan(0)
    expect(breaches(new Map(sources.map((file) => [file, readFileSync(join(top, file), 'utf8')])))).toEqual([])
  })

  test('every file and folder is called after its subject', () => {
    expect(namesWithoutSubject([...files, ...filesUnder('tests')])).toEqual([])
  })

  test('the top level holds the rooms and nothing else', () => {
    const rooms = ['server', 'web', 'protocols', 'simulator', 'tests', 'docs']
    const papers = ['README.md', 'DEVELOPERS.md', 'LICENSE', 'package.json', 'package-lock.json', 'tsconfig.json']
    const madeHere = ['node_modules', 'dist', 'coverage', 'data'] // Ignored by git.
    const known = new Set([...rooms, ...papers, ...madeHere])
    expect(readdirSync(top).filter((name) => !name.startsWith('.') && !known.has(name))).toEqual([])
  })
})

describe('the drawing notices', () => {
  test.each([
    [
      'a built-in in the engine',
      'server/engine/step.ts',
      `import { readFileSync } from 'node:fs'`,
      'server/engine/step.ts imports the Node built-in node:fs',
    ],
    [
      'a built-in without its prefix',
      'protocols/words/time.ts',
      `import fs from 'fs'`,
      'protocols/words/time.ts imports the Node built-in fs',
    ],
    [
      'a clock in the engine',
      'server/engine/step.ts',
      'const now = Date.now()',
      'server/engine/step.ts is not pure: Date.now',
    ],
    [
      'the present as a date',
      'protocols/words/time.ts',
      'const now = new Date()',
      'protocols/words/time.ts is not pure: new Date()',
    ],
    [
      'the present from the time library',
      'server/engine/a.ts',
      'DateTime.now()',
      'server/engine/a.ts is not pure: DateTime.now',
    ],
    [
      'chance in a template',
      'server/engine/a.ts',
      `const id = \`\${Math.random()}\``,
      'server/engine/a.ts is not pure: Math.random',
    ],
    [
      'a timer',
      'protocols/instrument/a.ts',
      'setTimeout(() => {}, 1)',
      'protocols/instrument/a.ts is not pure: setTimeout',
    ],
    [
      'the core reaching for the recording',
      'server/engine/step.ts',
      `import { seal } from '../recording/seal.ts'`,
      'server/engine/step.ts must not import server/recording/seal.ts',
    ],
    [
      'neighbours, types included',
      'server/http/app.ts',
      `import type { Row } from '../recording/lines.ts'`,
      'server/http/app.ts must not import server/recording/lines.ts',
    ],
    [
      'a formula of the engine in the simulator',
      'simulator/cells.ts',
      `import { dry } from '../server/engine/conversions/dry-basis.ts'`,
      'simulator/cells.ts must not import server/engine/conversions/dry-basis.ts',
    ],
    [
      'more than types of the line profile in the simulator',
      'simulator/lines.ts',
      `import { lineProfile } from '../protocols/instrument/profile.ts'`,
      'simulator/lines.ts imports more than types of protocols/instrument/profile.ts',
    ],
    [
      'the server in the dashboard',
      'web/store.ts',
      `import type { Trouble } from '../server/trouble.ts'`,
      'web/store.ts must not import server/trouble.ts',
    ],
    [
      'a package that a room does not use',
      'web/store.ts',
      `import { DateTime } from 'luxon'`,
      'web/store.ts must not import luxon',
    ],
    [
      'an export from elsewhere',
      'protocols/live/a.ts',
      `export * from '../instrument/profile.ts'`,
      'protocols/live/a.ts must not import protocols/instrument/profile.ts',
    ],
    [
      'a file loaded later',
      'server/sources/a.ts',
      `const a = await import('../recording/open.ts')`,
      'server/sources/a.ts must not import server/recording/open.ts',
    ],
    [
      'a worker of another room',
      'server/http/a.ts',
      `startWorker(new URL('../recording/writer.ts', import.meta.url))`,
      'server/http/a.ts must not import server/recording/writer.ts',
    ],
    ['a room that is not in it', 'server/odds/a.ts', '', 'server/odds/a.ts lies in no room of the drawing'],
    [
      'a file that imports itself',
      'server/engine/a.ts',
      `import './a.ts'`,
      'cycle: server/engine/a.ts → server/engine/a.ts',
    ],
  ])('%s', (_, file, text, breach) => {
    expect(breaches(new Map([[file, text]]))).toEqual([breach])
  })

  test('a cycle over three files, even of types alone', () => {
    const files = new Map([
      ['server/engine/a.ts', `import type { B } from './b.ts'`],
      ['server/engine/b.ts', `import {\n  c,\n  type D,\n} from './phases/c.ts'`],
      ['server/engine/phases/c.ts', `export type { A } from '../a.ts'`],
    ])
    expect(breaches(files)).toEqual([
      'cycle: server/engine/a.ts → server/engine/b.ts → server/engine/phases/c.ts → server/engine/a.ts',
    ])
  })

  test('a name without a subject', () => {
    const files = ['server/utils.ts', 'web/common/a.ts', 'server/engine/units.ts', 'web/types.d.ts']
    expect(namesWithoutSubject(files)).toEqual(['server/utils.ts', 'web/common/a.ts', 'web/types.d.ts'])
  })
})

describe('the drawing allows', () => {
  test.each([
    [
      'what only looks like an import',
      'server/engine/a.ts',
      `// import 'node:fs'\n/* Date.now() */ const text = 'setTimeout and new Date()'`,
    ],
    ['dates made from numbers', 'protocols/words/time.ts', 'const at = new Date(0)'],
    [
      'types of the line profile in the simulator',
      'simulator/lines.ts',
      `import { type LineProfile } from '../protocols/instrument/profile.ts'`,
    ],
    ['the words everywhere', 'web/parts/a.ts', `import { phases } from '../../protocols/words/phases.ts'`],
    ['parts of an allowed package', 'web/parts/a.ts', `import 'uplot/dist/uPlot.min.css'\nimport { html } from 'lit'`],
    [
      'the station wiring the rooms',
      'server/station/a.ts',
      `import { open } from '../recording/open.ts'\nimport { hub } from '../http/hub.ts'`,
    ],
  ])('%s', (_, file, text) => {
    expect(breaches(new Map([[file, text]]))).toEqual([])
  })

  test('every form of import is read', () => {
    const text = `import a, { type B } from './a.ts'\nimport * as c from "./c.ts"; import './d.ts'\nexport { e } from './e.ts'\nexport const from = 'x'`
    expect(importsOf(text).map(({ specifier }) => specifier)).toEqual(['./a.ts', './c.ts', './d.ts', './e.ts'])
  })
})
