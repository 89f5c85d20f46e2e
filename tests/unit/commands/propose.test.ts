import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { afterAll, afterEach, beforeEach, expect, test, vi } from 'vitest'
import { runCommandLine } from '../../../server/commands/command-line.ts'
import { validate } from '../../../server/commands/validate.ts'

const folder = mkdtempSync(join(tmpdir(), 'propose-'))
afterAll(() => rmSync(folder, { recursive: true }))
const sample = fileURLToPath(new URL('../../../protocols/instrument/profiles/kiln-named.sample.txt', import.meta.url))

let out = ''
let talk = ''
beforeEach(() => {
  out = ''
  talk = ''
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => {
    out += text
    return true
  })
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => {
    talk += text
    return true
  })
})
afterEach(() => vi.restoreAllMocks())

test('the profile goes to standard output, alone, so that it can be saved; the talk shows lines beside their values', async () => {
  expect(await runCommandLine(['node', 'flueledger', 'propose', sample])).toBe(0)
  expect(JSON.parse(out)).toMatchObject({ form: 'key-value', checksum: { kind: 'xor8-hex' } })
  expect(talk).toContain('$T=23:59:58;O2=7.8%;CO=OVER;SO2=30ppm;DIL=10;ST=M*5E\n    ')
  expect(talk).toContain('o2 7.8  co over  so2 30')
  expect(talk).toContain('“DIL”')
})

test('a file that is asked for holds a sound profile, and one that is there is not written over', async () => {
  const path = join(folder, 'kiln.json')
  expect(await runCommandLine(['node', 'flueledger', 'propose', sample, '--out', path])).toBe(0)
  expect(validate(path)).toEqual({ kind: 'line profile', faults: [], warnings: [] })
  const before = readFileSync(path, 'utf8')
  expect(await runCommandLine(['node', 'flueledger', 'propose', sample, '--out', path])).toBe(2)
  expect(readFileSync(path, 'utf8')).toBe(before)
})

test('--json is one document with profile, guesses, columns, what could not be named, and the lines', async () => {
  await runCommandLine(['node', 'flueledger', 'propose', sample, '--json'])
  const { ok, profile, guesses, columns, unnamed, lines, preview } = JSON.parse(out)
  expect([ok, profile.form, guesses.length > 3, columns.length, unnamed.length, lines.read, preview.length]).toEqual([
    true,
    'key-value',
    true,
    6,
    1,
    4,
    4,
  ])
})

test('where no form fits the status is 1, and each form says why', async () => {
  const path = join(folder, 'prose.txt')
  writeFileSync(path, 'Dear colleagues,\nthe boiler was swept.\nKind regards\n')
  expect(await runCommandLine(['node', 'flueledger', 'propose', path])).toBe(1)
  for (const form of ['json-lines', 'key-value', 'delimited', 'fixed-width', 'pattern'])
    expect(talk).toContain(`${form}: `)
})

test('a log that is not there is a wrong use, status 2; lines that end with a carriage return alone are cut there', async () => {
  expect(await runCommandLine(['node', 'flueledger', 'propose', join(folder, 'none.log')])).toBe(2)
  const path = join(folder, 'cr.log')
  writeFileSync(path, 'O2=8.1;CO=11\rO2=8.2;CO=12\rO2=8.3;CO=13\r')
  expect(await runCommandLine(['node', 'flueledger', 'propose', path])).toBe(0)
})

test.each([5, 2000])(
  '%i lines that end with a carriage return alone are read, and where to say so is told',
  async (count) => {
    const log = join(folder, `returns-${count}.log`)
    writeFileSync(log, Array.from({ length: count }, (_, at) => `8.${at % 10};1${at % 90}0;Meas\r`).join(''))
    expect(await runCommandLine(['node', 'flueledger', 'propose', log])).toBe(0)
    expect(talk).toContain(`reads ${count} of ${count} lines`)
    expect(talk).toContain('set "lineEnd": "cr" at the source of the stream')
  },
)
