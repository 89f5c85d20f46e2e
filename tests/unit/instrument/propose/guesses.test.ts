import { expect, test } from 'vitest'
import { labelMeaning } from '../../../../protocols/instrument/propose/label-meaning.ts'
import { proposeProfile } from '../../../../protocols/instrument/propose/propose.ts'
import { statusLine, statusMeaning } from '../../../../protocols/instrument/propose/status-words.ts'
import { timeGuess } from '../../../../protocols/instrument/propose/time-text.ts'
import { expectRead, namedFields, proposed } from '../../../support/proposed.ts'

// Spellings of headings, words and times: common practice, no source.

test.each([
  ['O2 [Vol%]', '', 'O2', 'vol%'],
  ['O2', 'Vol.-%', 'O2', 'vol%'],
  ['CO (ppm)', '', 'CO', 'ppm'],
  ['NOx mg/m³', '', 'NOx', 'mg/m3'],
  ['so2_ppm', '', 'SO2', 'ppm'],
  ['gas.no2', '', 'NO2', null],
  ['Carbon dioxide', '%', 'CO2', 'vol%'],
  ['T Gas', '°C', 'temperature', 'degC'],
  ['T Duct (K)', '', 'temperature', 'K'],
  ['Draught', 'Pa', 'pressure', 'Pa'],
  ['Draft', 'in WC', 'pressure', 'inH2O'],
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
  [['03/05/2024 10:00:01 PM'], '', 'MM/dd/yyyy hh:mm:ss a', 0.5],
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

test('numbers with commas in quotes, between commas, are proposed as they are read', () => {
  const { profile, lines } = proposed(rows(6, (at) => `"8,${at}",11${at},"Meas"`))
  expect(profile).toMatchObject({ form: 'delimited', delimiter: ',', decimal: ',' })
  expect(lines.read).toBe(6)
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

const two = (number: number) => String(number).padStart(2, '0')

test('digits that pass from 59 seconds to the next minute are a time, though no heading says so; others are none', () => {
  // 21:58:50 and on, a line in two seconds; and a total that counts on by two.
  const clock = (at: number) => `21${two(58 + Math.floor((50 + 2 * at) / 60))}${two((50 + 2 * at) % 60)}`
  expect(proposed(rows(12, (at) => `${clock(at)}.00,8.${at}`)).profile.time).toMatchObject({ format: 'HHmmss.SSS' })
  expect(proposed(rows(12, (at) => `240305${clock(at)},8.${at}`)).profile.time).toMatchObject({
    format: 'yyMMddHHmmss',
  })
  expect(proposed(rows(12, (at) => `${215850 + 2 * at},8.${at}`)).profile.time).toBeUndefined()
})

test('whether day or month comes first is asked for; beside AM and PM the month is taken', () => {
  const asked = (row: (at: number) => string) => {
    const { profile, unnamed } = proposed(`Date;Time;O2 %\n${rows(6, row)}`)
    return [profile.time?.format, unnamed.filter((text) => text.includes('begins with the day or the month'))]
  }
  expect(asked((at) => `03/05/24;10:00:0${at} PM;8.${at}`)).toEqual([
    'MM/dd/yy hh:mm:ss a',
    ['whether the date “03/05/24” begins with the day or the month: read as MM/dd/yy hh:mm:ss a'],
  ])
  expect(asked((at) => `03/05/24;22:00:0${at};8.${at}`)[0]).toBe('dd/MM/yy HH:mm:ss')
  expect(asked((at) => `03/25/24;22:00:0${at};8.${at}`)).toEqual(['MM/dd/yy HH:mm:ss', []])
})

test('lines of two kinds in turn are not proposed, be they of one length: GAS is then no word for measuring', () => {
  const answer = proposeProfile(
    rows(20, (at) => (at % 2 === 0 ? `GAS,22:00:${two(at)},8.${at},112` : `ENV,22:00:${two(at)},21.${at},1013`))
      .split('\n')
      .map((line) => Buffer.from(line)),
  )
  expect(answer).toMatchObject({ ok: false, kinds: [{ word: 'GAS' }, { word: 'ENV' }] })
  const status = proposed(rows(20, (at) => `${at < 8 || at > 12 ? 'Meas' : 'Purge'},22:00:${two(at)},8.${at},112`))
  expect(status.columns[0]?.role).toBe('status')
})

test('a file of two bytes a sign is called what it is', () => {
  const why = (lines: Uint8Array[]) => {
    const answer = proposeProfile(lines)
    return answer.ok ? '' : answer.tried[0]?.why
  }
  expect(why([Buffer.from('\ufeff8.1;112', 'utf16le')])).toContain('UTF-16')
  // Joined on its way, or written without the mark at its start.
  expect(why([Buffer.from('2;112', 'utf16le'), Buffer.from('\n8.1;112', 'utf16le').swap16()])).toContain('UTF-16')
  expect(why([Uint8Array.from([1, 2, 3, 200, 0, 7, 250, 255, 9])])).not.toContain('UTF-16')
})

test('`<5` is under range, `>4000` over', () => {
  const { profile } = proposed(rows(20, (at) => `8.${at};${at === 7 ? '<5' : at === 9 ? '>4000' : at}`))
  expect([profile.under, profile.over]).toEqual([['<5'], ['>4000']])
})

test('marks between thousands are named as what keeps a column from being read', () => {
  const { unnamed } = proposed(`O2 %;NOx mg/m3\n${rows(6, (at) => `8.${at};1,21${at}.5`)}`)
  expect(unnamed.join()).toContain('“NOx mg/m3” holds numbers with marks between thousands')
})

test('lines in words: a month in words is no fixed text, a unit in front no name', () => {
  const { profile, columns } = proposed(
    rows(
      6,
      (at) => `[05/Mar/2024 22:00:0${at}] Oxygen is 8.${at} % and CO 11${at} ppm (${at < 3 ? 'purging' : 'measuring'})`,
    ),
  )
  expect('pattern' in profile && profile.pattern).not.toContain('Mar')
  expect(columns.find(({ role }) => role === 'status')?.field).toBe('state')
})

test('the same lines give the same proposal', () => {
  const lines = rows(50, (at) => `t=${at};O2=8.${at % 10};CO=${at};ST=RUN`)
  expect(JSON.stringify(proposed(lines))).toBe(JSON.stringify(proposed(lines)))
})
