/**
 * Who may import whom, as data. The longest matching folder or file decides; a room may always import itself.
 *
 * may: folders, files and packages. typesOf: the same for `import type` alone. node: Node's built-in modules.
 * pure: no built-in module, and neither clock, chance, timer nor output: all that comes in as an argument.
 */
interface Room {
  readonly may: readonly string[]
  readonly typesOf?: readonly string[]
  readonly node?: true
  readonly pure?: true
}

/** Files of the server's ground floor that every room may use. */
const ground = [
  'server/clock.ts',
  'server/file-trouble.ts',
  'server/log.ts',
  'server/made-folder.ts',
  'server/refused-right.ts',
  'server/trouble.ts',
  'server/worker-file.ts',
]
const words = 'protocols/words'
const core = [words, 'protocols/instrument', 'server/engine']

export const arrows: Readonly<Record<string, Room>> = {
  'protocols/words': { may: [], pure: true },
  'protocols/live': { may: [words, 'zod'], pure: true },
  'protocols/instrument': { may: [words, 'zod', 're2js', 'luxon'], pure: true },
  'server/engine': {
    may: [words, 'protocols/instrument', 'zod', 'luxon', 'ml-matrix', 'decimal.js'],
    pure: true,
  },

  'server/clock.ts': { may: [words], node: true },
  'server/file-trouble.ts': { may: [] },
  'server/log.ts': { may: [words, 'server/clock.ts'], node: true },
  'server/made-folder.ts': { may: [], node: true },
  'server/refused-right.ts': { may: ['server/file-trouble.ts'], node: true },
  'server/trouble.ts': { may: [words] },
  'server/worker-file.ts': { may: [], node: true },

  'server/sources': {
    may: [words, 'protocols/instrument/reader.ts', ...ground, 'serialport', '@serialport/parser-readline', 'zod'],
    typesOf: ['protocols/instrument', 'server/engine'],
    node: true,
  },
  'server/recording': { may: [...core, ...ground, 'better-sqlite3', 'zod'], node: true },
  'server/reports': {
    may: [...core, ...ground, 'csv-stringify', 'write-excel-file', 'fflate', 'luxon', 'zod'],
    node: true,
  },
  'server/http': {
    may: [...core, 'protocols/live', ...ground, 'compression', 'express', 'helmet', 'ws', 'zod'],
    node: true,
  },
  'server/station': {
    may: [
      ...core,
      'protocols/live',
      ...ground,
      'server/sources',
      'server/recording',
      'server/reports',
      'server/http',
      'jsonc-parser',
      'luxon',
      'zod',
    ],
    node: true,
  },
  'server/commands': {
    may: ['protocols', 'server', 'simulator', 'commander', 'jsonc-parser', 'luxon', 'zod'],
    node: true,
  },
  'server/main.ts': { may: [words, ...ground, 'server/commands', 'commander'], node: true },

  // The witness shares the vocabulary and the description of a line with the engine, and not one formula.
  simulator: { may: [words, 'serialport', 'zod'], typesOf: ['protocols/instrument/profile.ts'], node: true },
  web: { may: [words, 'protocols/live', 'lit', 'uplot'] },
  'server/vite.config.ts': { may: ['vite'], node: true },
  'web/vite.config.ts': { may: ['vite', 'web/smaller-script.ts'], node: true },
  'web/smaller-script.ts': { may: ['vite'] },
}

const impure =
  /\b(?:Date\.now|Math\.random|performance\.|crypto\.|setTimeout|setInterval|setImmediate|console\.|process\.|globalThis|fetch\()|\bnew Date(?:\(\)|(?!\w|\())|\bDateTime\.(?:now|local\(\)|utc\(\))/g

interface Import {
  readonly specifier: string
  readonly typeOnly: boolean
}

/**
 * Every breach of the arrows, one sentence each; none: an empty list.
 *
 * files: path from the top folder, `/` between → its text. Only `.ts` files are read.
 */
export function breaches(files: ReadonlyMap<string, string>, rooms: Readonly<Record<string, Room>> = arrows): string[] {
  const found: string[] = []
  for (const [file, text] of files) {
    const room = roomOf(file, rooms)
    if (room === undefined) {
      found.push(`${file} lies in no room of the drawing`)
      continue
    }
    for (const used of importsOf(text)) {
      const complaint = judge(file, used, room, rooms)
      if (complaint !== null) found.push(`${file} ${complaint}`)
    }
    if (rooms[room]?.pure)
      for (const [word] of withoutTexts(text).matchAll(impure)) found.push(`${file} is not pure: ${word}`)
  }
  return [...found, ...cycles(files).map((ring) => `cycle: ${ring.join(' → ')}`)]
}

function judge(file: string, used: Import, name: string, rooms: Readonly<Record<string, Room>>): string | null {
  const room = rooms[name]
  const target = used.specifier.startsWith('.') ? resolve(file, used.specifier) : used.specifier
  if (target.startsWith('node:') || isBareBuiltIn(target)) {
    return room?.node ? null : `imports the Node built-in ${target}`
  }
  const isOwn = used.specifier.startsWith('.') && roomOf(target, rooms) === name
  if (isOwn || room?.may.some((allowed) => isWithin(target, allowed))) return null
  if (room?.typesOf?.some((allowed) => isWithin(target, allowed))) {
    return used.typeOnly ? null : `imports more than types of ${target}`
  }
  return `must not import ${target}`
}

/** Built-in modules that are also reached without `node:`; each of them is written with it here, which tells them apart from packages. */
const isBareBuiltIn = (specifier: string): boolean =>
  /^(?:assert|buffer|child_process|crypto|events|fs|http|https|net|os|path|perf_hooks|process|stream|timers|tls|url|util|v8|vm|worker_threads|zlib)(?:\/|$)/.test(
    specifier,
  )

const isWithin = (target: string, place: string): boolean => target === place || target.startsWith(`${place}/`)

const roomOf = (file: string, rooms: Readonly<Record<string, Room>>): string | undefined =>
  Object.keys(rooms)
    .filter((room) => isWithin(file, room))
    .sort((left, right) => right.length - left.length)[0]

/** `server/engine/step.ts`, `../recording/lines.ts` → `server/recording/lines.ts`. */
function resolve(file: string, specifier: string): string {
  const parts = file.split('/').slice(0, -1)
  for (const part of (specifier.split('?')[0] ?? '').split('/')) {
    if (part === '..') parts.pop()
    else if (part !== '.') parts.push(part)
  }
  return parts.join('/')
}

const statement = /(?:^|[;\n}])\s*(?:import|export)\s+(type\s)?(?:[\w$*\s,{}]*?\sfrom\s*)?(['"])([^'"\n]+)\2/g
const expression = /\b(?:import|require)\s*\(\s*(['"`])([^'"`\n]+)\1|\bnew URL\(\s*(['"`])(\.[^'"`\n]+\.ts)\3/g

/** What a file imports, re-exports, loads by `import()`, or names as the file of a worker. */
export function importsOf(text: string): Import[] {
  const code = withoutComments(text)
  const found: Import[] = []
  for (const [whole, type, , specifier = ''] of code.matchAll(statement)) {
    found.push({ specifier, typeOnly: type !== undefined || namesOnlyTypes(whole) })
  }
  for (const [, , loaded, , worker] of code.matchAll(expression)) {
    found.push({ specifier: loaded ?? worker ?? '', typeOnly: false })
  }
  return found
}

/** `import { type A, type B } from …` */
function namesOnlyTypes(whole: string): boolean {
  const names = /\{([^}]*)\}/.exec(whole)?.[1]
  return (
    names !== undefined && !/\w\s*,\s*\{/.test(whole) && names.split(',').every((name) => /^\s*(?:type\s|$)/.test(name))
  )
}

const commentsAndTexts = /\/\*[\s\S]*?\*\/|\/\/[^\n]*|'(?:[^'\\\n]|\\.)*'|"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\[\s\S])*`/g

const withoutComments = (text: string): string =>
  text.replace(commentsAndTexts, (piece) => (piece.startsWith('/') ? ' ' : piece))

/** Comments and plain texts go; templates stay, since they hold code. */
const withoutTexts = (text: string): string =>
  text.replace(commentsAndTexts, (piece) => (piece.startsWith('`') ? piece : ' '))

/** Rings of imports between files, types included; each is named once, from its first file in the order of the map. */
function cycles(files: ReadonlyMap<string, string>): string[][] {
  const rings: string[][] = []
  const done = new Set<string>()
  const path: string[] = []
  const visit = (file: string): void => {
    const seenAt = path.indexOf(file)
    if (seenAt >= 0) {
      rings.push([...path.slice(seenAt), file])
      return
    }
    if (done.has(file)) return
    path.push(file)
    for (const { specifier } of importsOf(files.get(file) ?? '')) {
      const target = resolve(file, specifier)
      if (specifier.startsWith('.') && files.has(target)) visit(target)
    }
    path.pop()
    done.add(file)
  }
  for (const file of files.keys()) visit(file)
  return rings
}

/** Names that say nothing of what lies behind them, for a file or a folder. */
const withoutSubject = /^(?:utils?|helpers?|common|misc|types)(?:\.|$)/

/** Paths one part of which has a name without a subject. */
export const namesWithoutSubject = (files: Iterable<string>): string[] =>
  [...files].filter((file) => file.split('/').some((part) => withoutSubject.test(part)))
