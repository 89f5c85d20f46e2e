import { expect, test } from 'vitest'
import { labelMeaning } from '../../../../protocols/instrument/propose/label-meaning.ts'
import { statusLine, statusMeaning } from '../../../../protocols/instrument/propose/status-words.ts'
import { timeGuess } from '../../../../protocols/instrument/propose/time-text.ts'
import { expectRead, namedFields, proposed } from '../../../support/proposed.ts'

// Spellings of headings, words and times: common practice, no source.

test.each([
  ['O2 [Vol%]', '', 'O2', 'vol%'],
  ['CO (ppm)', '', 'CO', 'ppm'],
  ['NOx mg/m³', '', 'NOx', 'mg/m3'],
  ['so2_ppm', '', 'SO2', 'ppm'],
  ['gas.no2', '', 'NO2', null],
  ['Carbon dioxide', '%', 'CO2', 'vol%'],
  ['T Gas', '°C', 'temperature', 'degC'],
  ['T Duct (K)', '', 'temperature', 'K'],
  ['Draught', 'Pa', 'pressure', 'Pa'],
  ['RH', '%', 'humidity', '%RH'],
  ['Flow', 'l/min', 'flow', 'L/min'],
])('“%s” with unit “%s” is %s in %s', (label, unit, what, expected) => {
  const { meaning, unit: found } = labelMeaning(label, unit)
  expect([meaning?.species ?? meaning?.quantity, found]).toEqual([what, expected])
})

test.each(['PT08.S1(CO)', 'TIT', 'nox_mass_lbs', 'CO (mV)', 'Kessel 3', ''])('“%s” names no channel', (label) => {
  expect(labelMeaning(label, '').meaning).toBeNull()
})

test('a basis is told by its word or by the unit, else it is left open', () => {
  expect(['O2 dry %', 'NO ppmvw', 'CO ppm'].map((label) => labelMeaning(label, '').basis)).toEqual(['dry', 'wet', null])
})

test.each([
  [['2024-03-05T22:00:01', '2024-03-05T22:00:02'], '', 'iso', 0.95],
  [['2024-03-05 22:00:01+01:00'], '', 'iso', 1],
  [['05.03.2024 22:00:01'], '', 'dd.MM.yyyy HH:mm:ss', 0.95],
  [['5.3.24 9:00', '15.3.24 10:05'], '', 'd.M.yy H:mm', 0.95],
  [['03/25/2024 10:00:01 PM'], '', 'MM/dd/yyyy hh:mm:ss a', 0.95],
  [['03/05/2024 10:00:01'], '', 'dd/MM/yyyy HH:mm:ss', 0.5],
  [['22:00:01.5', '22:00:02.0'], '', 'HH:mm:ss.SSS', 0.9],
  [['22.00.01'], '', 'HH.mm.ss', 0.9],
  [['1709676000', '1709676001'], '', 'epoch-s', 0.8],
  [['1709676000000', '1709676001000'], 't', 'epoch-ms', 0.95],
  [['220001', '220002'], 'UTC', 'HHmmss', 0.8],
] as const)('%j is a time, %s %s, sure to %d', (texts, label, format, confidence) => {
  expect(timeGuess([...texts], label)).toMatchObject({ format, confidence })
})

test.each([[['8.14', '8.11']], [['112', '113']], [['2024', '2025']], [['99:99:99']], [['192.168.1.10']]])(
  '%j is no time',
  (texts) => {
    expect(timeGuess(texts, '')).toBeNull()
  },
)

test.each([
  ['Measuring', { phase: 'measure' }],
  ['PURGE', { phase: 'purge' }],
  ['Spülen', { phase: 'purge' }],
  ['zeroing', { phase: 'zero' }],
  ['standby', { phase: 'standby' }],
  ['Kondensat', { fault: 'condensate' }],
  ['filter-closing', { fault: 'filter' }],
  ['OK', { clears: true }],
])('the word %s tells %j', (word, tells) => {
  expect(statusMeaning(word)?.tells).toEqual(tells)
})

test('a word that is not known is not guessed, and a single letter is half a guess', () => {
  expect(statusMeaning('QX7')).toBeNull()
  expect(statusMeaning('M')?.confidence).toBe(0.5)
})

test.each([
  ['*** POWER FAIL ***', { token: 'POWER FAIL', tells: { fault: 'mains' } }],
  ['PURGE ON', { token: 'PURGE ON', tells: { phase: 'purge' } }],
  ['PURGE OFF', { token: 'PURGE OFF', tells: { phase: 'measure' } }],
  ['Ser. No. 4711', null],
  ['self test passed', null],
])('a line that is nothing but “%s” tells %j', (line, tells) => {
  expect(statusLine(line)).toEqual(tells)
})

const rows = (count: number, row: (at: number) => string): string =>
  Array.from({ length: count }, (_, at) => `${row(at)}\n`).join('')

test('five lines are enough, and garbage between them does no harm', () => {
  const proposal = proposed(`${rows(5, (at) => `22:00:0${at};8,${at};11${at};Messen`)}\u0000\u0001\u0002\n%%%%\n;;;\n`)
  expect(proposal.profile).toMatchObject({ form: 'delimited', delimiter: ';', decimal: ',' })
  expect(proposal.lines.read).toBe(5)
})

test('a decimal comma inside numbers and not between columns makes the comma the decimal mark', () => {
  expect(proposed(rows(6, (at) => `8,${at}\t11${at},5`)).profile).toMatchObject({ delimiter: '\\t', decimal: ',' })
  expect(proposed(rows(6, (at) => `8.${at},11${at}.5`)).profile).toMatchObject({ delimiter: ',', decimal: '.' })
})

test('NOx that is NO + NO₂ in the lines is computed', () => {
  const proposal = proposed(
    `NO ppm;NO2 ppm;NOx ppm\n${rows(9, (at) => `${40 + at}.5;2.${at};${(42.5 + 1.1 * at).toFixed(1)}`)}`,
  )
  expect(proposal.columns.map(({ origin }) => origin)).toEqual(['measured', 'measured', 'computed'])
  expect(proposal.columns[2]?.reason).toContain('sum of NO and NO₂')
})

test('a column called No that counts the rows is not nitric oxide', () => {
  const proposal = proposed(`No;O2 %\n${rows(6, (at) => `${at + 1};8.${at}`)}`)
  expect(namedFields(proposal)).toEqual({ o2: 'O2 vol%' })
  expect(proposal.unnamed.join()).toContain('“No”')
})

test('a text in place of a number that no rule knows is listed, not taken for a value', () => {
  const proposal = proposed(rows(20, (at) => `8.${at};${at === 7 ? 'Kaputt' : at}`))
  expect(proposal.unnamed.join('\n')).toContain('“Kaputt”')
  expect(proposal.profile.missing).not.toContain('Kaputt')
})

test('signs of a single-byte encoding are read as what they are', () => {
  const proposal = proposed(Buffer.from(`T °C;Zustand\n${rows(6, (at) => `14${at}.5;Spülen`)}`, 'latin1'))
  expect(proposal.profile.encoding).toBe('windows-1252')
  expect(namedFields(proposal)).toMatchObject({ t: 'temperature degC', zustand: 'status' })
  expectRead(proposal, 1)
})

test('the same lines give the same proposal', () => {
  const lines = rows(50, (at) => `t=${at};O2=8.${at % 10};CO=${at};ST=RUN`)
  expect(JSON.stringify(proposed(lines))).toBe(JSON.stringify(proposed(lines)))
})
