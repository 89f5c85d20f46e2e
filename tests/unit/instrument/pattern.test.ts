import { RE2JS } from 're2js'
import { expect, test, vi } from 'vitest'
import { aReader, readLine } from '../../support/line-reading.ts'

const profile = {
  form: 'pattern',
  pattern: 'O2 is (?P<o2>\\S+) and CO (?<co>\\S+)(?: NO (?<no>\\S+))?',
  fields: [
    { name: 'o2', at: 'o2' },
    { name: 'co', at: 'co' },
    { name: 'no', at: 'no' },
  ],
}

test('named groups of either spelling hold the fields; a group that took no part is absent', () => {
  expect(readLine(aReader(profile), 'O2 is 8.1 and CO 112\r\n').values).toEqual([8.1, 112, 'absent'])
  expect(readLine(aReader(profile), 'O2 is 8.1 and CO 112 NO 60\r\n').values).toEqual([8.1, 112, 60])
})

test('the pattern is held against the whole line', () => {
  expect(readLine(aReader(profile), 'xO2 is 8.1 and CO 112\n').refused).toBe('wrong_form')
  expect(readLine(aReader(profile), 'O2 is 8.1 and CO 112 x\n').refused).toBe('wrong_form')
})

test.each([
  ['utf-8', 'utf8'],
  ['latin-1', 'latin1'],
] as const)('groups behind letters of more than one byte are found in %s', (encoding, buffer) => {
  const reader = aReader({
    ...profile,
    encoding,
    pattern: '(?<state>.+): (?<o2>\\S+) (?<co>\\S+)',
    fields: [
      { name: 'o2', at: 'o2' },
      { name: 'state', at: 'state' },
    ],
    status: [{ field: 'state', tokens: { 'Spülen °C': { phase: 'purge' } } }],
  })
  expect(readLine(reader, Uint8Array.from(Buffer.from('Spülen °C: 20.9 1\n', buffer)))).toMatchObject({
    values: [20.9, 'missing'],
    status: ['Spülen °C'],
  })
})

test.each(['^(?<o2>(a+)+)$', '^(?<o2>(a|aa)*)$', '^(?<o2>(a|a?)+)b$', '(?<o2>(x+x+)+y|(.*)*)c'])(
  '%s finds out that a long line does not fit, in an engine without backtracking',
  (pattern) => {
    const compile = vi.spyOn(RE2JS, 'compile')
    const reader = aReader({ form: 'pattern', pattern, fields: [{ name: 'o2', at: 'o2' }] })
    expect(readLine(reader, `${'a'.repeat(4090)}!\n`).refused).toBe('wrong_form')
    expect(compile).toHaveBeenCalledWith(pattern)
    compile.mockRestore()
  },
)
