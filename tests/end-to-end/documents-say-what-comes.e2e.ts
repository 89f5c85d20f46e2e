import { execFile } from 'node:child_process'
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { delimiter, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { main } from '../support/built-command.ts'

/** What a page shows of a terminal: a command and what comes of it, standard output and messages in their order. */
interface Shown {
  readonly page: string
  readonly command: string
  readonly comes: readonly string[]
}

const folder = mkdtempSync(join(tmpdir(), 'flueledger-documents-'))
afterAll(() => rmSync(folder, { recursive: true }))

/** The commands of a page in its order: indented lines after `$`, up to the next one or to plain text. */
function shownOn(page: string): Shown[] {
  const found: { page: string; command: string; comes: string[]; indent: string }[] = []
  let open = false
  for (const line of readFileSync(join(import.meta.dirname, '../../docs', page), 'utf8').split('\n')) {
    const [, indent, command] = /^( {4,})\$ (flueledger .*)$/.exec(line) ?? []
    const last = found.at(-1)
    if (indent !== undefined && command !== undefined) found.push({ page, command, comes: [], indent })
    else if (open && last && (line === '' || line.startsWith(last.indent)))
      last.comes.push(line.slice(last.indent.length))
    open = indent !== undefined || (open && last !== undefined && (line === '' || line.startsWith(last.indent)))
  }
  return found
}

const plain = (text: string): string => text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')

/** `…` stands for a part of a line, alone on a line for any lines. How many seals there are and their head hang on the time of making. */
function patternOf({ comes }: Shown): RegExp {
  const lines = comes.join('\n').trimEnd().split('\n')
  const patterns = lines.map((line) =>
    line === '…'
      ? '(?:.*\\n)*?'
      : `${plain(line)
          .replaceAll('…', '.*')
          .replace(/\b[0-9a-f]{64}\b/, '[0-9a-f]{64}')
          .replace(/^seals: sound, \d+/, 'seals: sound, \\d+')}\n`,
  )
  return new RegExp(`^${comes.join('') === '' ? '' : patterns.join('')}$`)
}

const inShell = (command: string): Promise<string> =>
  new Promise((settle) => {
    const env = { ...process.env, PATH: `${folder}${delimiter}${process.env['PATH']}` }
    execFile('sh', ['-c', `exec 2>&1; ${command}`], { cwd: folder, env, maxBuffer: 1e9 }, (_, out) => settle(out))
  })

beforeAll(() => {
  writeFileSync(join(folder, 'flueledger'), `#!/bin/sh\nexec '${process.execPath}' '${main}' "$@"\n`)
  chmodSync(join(folder, 'flueledger'), 0o755)
})

test('every command that the pages for newcomers show gives what they show', async () => {
  const shown = ['getting-started.md', 'explain.md', 'amending.md'].flatMap(shownOn)
  expect(shown.length).toBeGreaterThan(10)
  for (const one of shown) {
    // The page says that `limits` was misspelt here.
    if (one.command.endsWith('bad.json'))
      writeFileSync(
        join(folder, 'bad.json'),
        readFileSync(join(folder, 'laundry.json'), 'utf8').replace('"limits"', '"lim"'),
      )
    const came = await inShell(one.command)
    expect(came, `${one.page}: $ ${one.command}`).toMatch(patternOf(one))
  }
})
