import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeEach, expect, test, vi } from 'vitest'
import { runCommandLine } from '../../../server/commands/command-line.ts'

const folder = mkdtempSync(join(tmpdir(), 'wrong-use-'))
afterAll(() => rmSync(folder, { recursive: true }))
const none = join(folder, 'none')
const log = join(folder, 'night.log')
writeFileSync(log, '8.1;112\n')

let said = ''
beforeEach(() => {
  said = ''
  for (const stream of [process.stdout, process.stderr])
    vi.spyOn(stream, 'write').mockImplementation((text) => {
      said += text
      return true
    })
})
afterEach(() => vi.restoreAllMocks())
const run = (...args: string[]): Promise<number> => runCommandLine(['node', 'flueledger', ...args])

const needsFile: readonly (readonly [verb: string, args: (file: string) => string[]])[] = [
  ['validate', (file) => ['validate', file]],
  ['serve', (file) => ['serve', '--station', file, '--data', join(folder, 'data')]],
  ['serve with a passphrase', (file) => ['serve', '--passphrase-file', file, '--data', join(folder, 'data')]],
  ['simulate', (file) => ['simulate', '--station-file', '--scenario', file, '--to', 'tcp:4001']],
  ['import', (file) => ['import', log, '--station', file, '--out', join(folder, 'night.flue.sqlite')]],
  ['replay', (file) => ['replay', file]],
  ['replay of a log', (file) => ['replay', log, '--station', file]],
  ['export', (file) => ['export', file, '--format', 'csv', '--out', join(folder, 'out')]],
  ['verify', (file) => ['verify', file]],
  ['explain', (file) => ['explain', file, '--block', '2026-11-20T18:00:00Z', '--channel', 'co']],
  ['propose', (file) => ['propose', file]],
]

test.each(needsFile)('%s: a file that is not there is told in words, with status 2', async (_, args) => {
  expect(await run(...args(none))).toBe(2)
  expect(said).toContain(none)
  expect(said).toContain('there is no such file')
  expect(said).not.toContain('ENOENT')
})

test.each(needsFile)('%s: a folder in place of a file is told in words, with status 2', async (_, args) => {
  expect(await run(...args(folder))).toBe(2)
  expect(said).toMatch(/is a folder/)
  expect(said).not.toContain('EISDIR')
})

test('simulate says of each wrong option what is allowed, by the name of the option, and of all at once', async () => {
  const wrong = {
    seed: ['x', 'needs a whole number, 0…4294967295'],
    speed: ['0', 'needs a number above 0, at most 1000000, or fastest'],
    hours: ['-1', 'needs a number above 0, at most 8784'],
    start: ['monday', 'is not a time as 2026-11-20T18:00:00Z'],
    'skip-to': ['monday', 'is not a time as 2026-11-20T18:00:00Z'],
    'while-unlinked': ['x', 'is neither wait nor go-on'],
    'truth-minutes': ['0', 'needs a whole number, 1…1440'],
  } as const
  const given = Object.entries(wrong).flatMap(([name, [value]]) => [`--${name}`, value])
  expect(await run('simulate', '--station-file', '--to', 'tcp:4001', ...given)).toBe(2)
  for (const [name, [, allowed]] of Object.entries(wrong)) expect(said).toContain(`--${name}: ${allowed}`)
})

test.each([
  ['tcp:twenty', '"tcp:twenty" is none of stdout, file:PATH, tcp:PORT (0…65535), serial:PATH'],
  ['stdout', '--to stdout: a station cannot read that'],
  ['tcp:0', '--to tcp:0: which port that will be is known once it listens'],
])('no station file is made for %s', async (to, told) => {
  expect(await run('simulate', '--station-file', '--to', to)).toBe(2)
  expect(said).toContain(told)
})
