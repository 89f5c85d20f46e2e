import { expect, test } from 'vitest'
import { checkProfile } from '../../../protocols/instrument/check-profile.ts'
import { compileProfile } from '../../../protocols/instrument/compile-profile.ts'
import { aProfile } from '../../support/line-reading.ts'

const pathsOf = (settings: Record<string, unknown>) => checkProfile(aProfile(settings)).map(({ path }) => path)
const o2 = { name: 'o2', at: 0 }

test('a sound profile has no problems', () => {
  expect(checkProfile(aProfile())).toEqual([])
})

test.each<[string, Record<string, unknown>, string[]]>([
  ['a name given twice', { fields: [o2, { name: 'o2', at: 1 }] }, ['fields[1].name']],
  ['columns in a delimited line', { fields: [{ name: 'o2', at: { from: 0, length: 4 } }] }, ['fields[0].at']],
  ['a position in fixed columns', { form: 'fixed-width', fields: [o2] }, ['fields[0].at']],
  ['a position in JSON', { form: 'json-lines', fields: [o2] }, ['fields[0].at']],
  ['a position in a pattern', { form: 'pattern', pattern: '(?<o2>.)', fields: [o2] }, ['fields[0].at']],
  ['a heading without a header', { fields: [{ name: 'o2', at: 'O2' }] }, ['fields[0].at']],
  ['a time at a heading without a header', { time: { fields: ['Time'], format: 'iso' } }, ['time.fields[0]']],
  [
    'a column behind the longest line',
    { form: 'fixed-width', fields: [{ name: 'o2', at: { from: 4090, length: 7 } }] },
    ['fields[0].at'],
  ],
  ['an empty key in a path', { form: 'json-lines', fields: [{ name: 'o2', at: 'gas..o2' }] }, ['fields[0].at']],
  ['a name that its separator cuts', { form: 'key-value', fields: [{ name: 'o2', at: 'O2=' }] }, ['fields[0].at']],
  [
    'a status token that its separator cuts',
    { fields: [o2], status: [{ field: 'o2', separator: '+', tokens: { M: { phase: 'measure' }, 'M+T': {} } }] },
    ['status[0].tokens'],
  ],
  ['one number in two lists, written otherwise', { decimal: ',', missing: ['-200'], over: ['-200,0'] }, ['over[0]']],
  ['a status in no field', { status: [{ field: 'mode', tokens: {} }] }, ['status[0].field']],
  ['a dilution in no field', { dilution: { state: 'in-the-values', field: 'factor' } }, ['dilution.field']],
  ['a pattern that is none', { form: 'pattern', pattern: '(', fields: [{ name: 'o2', at: 'o2' }] }, ['pattern']],
  [
    'look-ahead in a pattern',
    { form: 'pattern', pattern: '(?=x)(?<o2>.)', fields: [{ name: 'o2', at: 'o2' }] },
    ['pattern'],
  ],
  [
    'a pattern that would take long',
    { form: 'pattern', pattern: '(?<o2>(x?y?){600})', fields: [{ name: 'o2', at: 'o2' }] },
    ['pattern'],
  ],
  ['a back reference', { form: 'pattern', pattern: '(?<o2>.)\\1', fields: [{ name: 'o2', at: 'o2' }] }, ['pattern']],
  [
    'a group that the pattern lacks',
    { form: 'pattern', pattern: '(?<co>.)', fields: [{ name: 'o2', at: 'o2' }] },
    ['fields[0].at'],
  ],
  ['a zone that is none', { time: { fields: [2], format: 'iso', zone: 'Europe/Atlantis' } }, ['time.zone']],
  ['letters that mean nothing', { time: { fields: [2], format: 'yyyy-MM-ddTHH:mm' } }, ['time.format']],
  ['a date without its year', { time: { fields: [2], format: 'dd.MM HH:mm' } }, ['time.format']],
  ['a time without an hour', { time: { fields: [2], format: 'mm:ss' } }, ['time.format']],
  ['minutes in the letters of the month', { time: { fields: [2], format: 'HH:MM:ss' } }, ['time.format']],
  ['an hour told twice', { time: { fields: [2], format: 'HH:HH:ss' } }, ['time.format']],
  ['twelve hours without their half', { time: { fields: [2], format: 'hh:mm' } }, ['time.format']],
  ['an epoch in two fields', { time: { fields: [2, 3], format: 'epoch-s' } }, ['time.fields']],
  ['a delimiter that is the decimal mark, and no quotes', { delimiter: ',', decimal: ',', quote: '' }, ['delimiter']],
  [
    'a separator that is the decimal mark',
    { form: 'key-value', between: ',', decimal: ',', fields: [{ name: 'o2', at: 'O2' }] },
    ['between'],
  ],
  [
    'one separator for both',
    { form: 'key-value', between: ':', equals: ':', fields: [{ name: 'o2', at: 'O2' }] },
    ['equals'],
  ],
  ['a token in two lists', { missing: ['9999'], over: ['9999'] }, ['over[0]']],
  ['a token outside the encoding', { encoding: 'latin-1', under: ['≤'] }, ['under[0]']],
])('%s is found', (_, settings, paths) => {
  expect(pathsOf(settings)).toEqual(paths)
})

test('all problems come at once, each with what is allowed', () => {
  const problems = checkProfile(
    aProfile({
      fields: [o2, o2, { name: 'co', at: 'CO' }],
      time: { fields: [0], format: 'iso', zone: 'Mars' },
      status: [{ field: 'mode', tokens: {} }],
    }),
  )
  expect(problems.map(({ path }) => path)).toEqual(['fields[2].at', 'fields[1].name', 'status[0].field', 'time.zone'])
  expect(problems.map(({ message }) => message).join('\n')).toContain('there are “o2”, “o2”, “co”')
})

test('a profile with a problem is not compiled', () => {
  expect(() => compileProfile(aProfile({ fields: [o2, o2] }), { stationZone: 'UTC' })).toThrow('fields[1].name')
})

test('a station in a zone that is none is not compiled', () => {
  expect(() => compileProfile(aProfile({ time: { fields: [2], format: 'iso' } }), { stationZone: 'Mars' })).toThrow(
    'Mars',
  )
})
