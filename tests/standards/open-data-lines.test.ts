import { expect, test } from 'vitest'
import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import { lineProfile } from '../../protocols/instrument/profile.ts'
import { linesOf, noon, readyProfile } from '../support/line-reading.ts'
import { openData } from '../support/open-data.ts'

// Expected values: the figures printed in the README beside each data set, computed by their publishers’ copies and not by this project.

/** Every reading of a file: column of values per field (valid ones only), first status token, time; and the refusals by reason. */
function readFile(profile: Parameters<typeof compileProfile>[0], path: string) {
  const reader = compileProfile(profile, { stationZone: 'UTC', unendedCounts: true })
  const refused: Record<string, number> = {}
  const rows: { values: number[]; status: string | undefined; time: number }[] = []
  for (const line of linesOf(openData(path))) {
    const outcome = reader.read(line, noon, line.at(-1) === 10 ? 'whole' : 'unended')
    if (outcome.ok)
      rows.push({
        values: Array.from(reader.content.values),
        status: reader.content.status[0]?.token,
        time: reader.content.lineTimeMs,
      })
    else refused[outcome.reason] = (refused[outcome.reason] ?? 0) + 1
  }
  const column = (name: string, keep: (row: (typeof rows)[number]) => boolean = () => true) =>
    rows
      .filter(keep)
      .map((row) => row.values[reader.fields.findIndex((field) => field.name === name)] as number)
      .filter((value) => !Number.isNaN(value))
  return { rows, refused, column }
}
const mean = (values: readonly number[]) => values.reduce((sum, value) => sum + value, 0) / values.length

test('a night of air and burn cycles, names with values: lines, phases, missing values and means', () => {
  const { rows, refused, column } = readFile(readyProfile('air-burn-cycles-named'), 'nist-air-burn-cycles/night.kv.log')
  expect({ lines: rows.length, refused }).toEqual({ lines: 15_995, refused: {} })
  expect([
    rows.filter(({ status }) => status === 'AIR').length,
    rows.filter(({ status }) => status === 'GAS').length,
  ]).toEqual([2763, 13_232])
  expect([new Date(rows[0]?.time ?? 0).toISOString(), new Date(rows.at(-1)?.time ?? 0).toISOString()]).toEqual([
    '2012-01-24T22:00:00.000Z',
    '2012-01-25T02:26:34.000Z',
  ])
  expect([15_995 - column('co').length, 15_995 - column('co2').length, 15_995 - column('flow').length]).toEqual([
    132, 110, 66,
  ])
  expect(mean(column('co', ({ status }) => status === 'GAS'))).toBeCloseTo(57.248699, 6)
  expect(mean(column('co', ({ status }) => status === 'AIR'))).toBeCloseTo(6.247752, 6)
  expect(mean(column('co'))).toBeCloseTo(48.36541, 6)
  expect(mean(column('o2', ({ status }) => status === 'GAS'))).toBeCloseTo(20.811815, 6)
  expect(mean(column('flow'))).toBeCloseTo(0.02593821, 8)
})

test('the same night in columns with decimal commas: the same numbers and the same times', () => {
  const named = readFile(readyProfile('air-burn-cycles-named'), 'nist-air-burn-cycles/night.kv.log')
  const columns = readFile(readyProfile('air-burn-cycles-columns'), 'nist-air-burn-cycles/night.delim.log')
  expect(columns.refused).toEqual({ header: 1 })
  expect(columns.rows.map(({ time }) => time)).toEqual(named.rows.map(({ time }) => time))
  expect(['o2', 'co2', 'co', 'flow'].map((name) => columns.column(name))).toEqual(
    ['o2', 'co2', 'co', 'flow'].map((name) => named.column(name)),
  )
})

test.each([
  ['co', 3814, 1.953356, 0.1, 8.1],
  ['co-cell', 4755, 1078.913354, 708, 2040],
  ['hydrocarbons', 914, 218.811816, 7, 1189],
  ['benzene', 4755, 10.052345, 0.5, 41.2],
  ['hydrocarbons-cell', 4755, 944.343007, 437, 1795],
  ['nox', 3879, 140.078629, 2, 891],
  ['nox-cell', 4755, 888.941115, 388, 1941],
  ['no2', 3876, 95.700722, 2, 233],
  ['no2-cell', 4755, 1612.489169, 955, 2746],
  ['ozone-cell', 4755, 955.543218, 263, 2475],
  ['temperature', 4755, 23.392639, 6.1, 44.6],
  ['humidity', 4755, 43.113417, 9.2, 87.2],
  ['absolute-humidity', 4755, 1.169415, 0.3754, 2.231],
] as const)('half a year of roadside air, %s: %d valid hours, mean %d', (name, count, average, minimum, maximum) => {
  const { rows, column } = readFile(readyProfile('roadside-air-hours'), 'uci-air-quality/AirQualityUCI.part.csv')
  const values = column(name)
  expect([rows.length, values.length, Math.min(...values), Math.max(...values)]).toEqual([
    4902,
    count,
    minimum,
    maximum,
  ])
  expect(mean(values)).toBeCloseTo(average, 6)
})

test.each([
  ['2011', 7411, 1.572486, 67.575392, 17.112261, 1014.167883],
  ['2012', 7628, 2.361133, 68.788965, 18.39795, 1012.258153],
  ['2013', 7152, 2.723031, 70.007899, 17.60262, 1011.999607],
] as const)('the gas turbine’s year %s: %d rows and their means', (year, count, co, nox, temperature, pressure) => {
  const { rows, column } = readFile(readyProfile('gas-turbine-hours'), `uci-gas-turbine/gt_${year}.csv`)
  expect(rows.length).toBe(count)
  expect(mean(column('co'))).toBeCloseTo(co, 6)
  expect(mean(column('nox'))).toBeCloseTo(nox, 6)
  expect(mean(column('ambient-temperature'))).toBeCloseTo(temperature, 6)
  expect(mean(column('ambient-pressure'))).toBeCloseTo(pressure, 6)
})

/** One type of sentence; lines of other types do not fit the pattern, but only after their checksum was held against them. */
const sentences = (pattern: string, value: string, time?: string) =>
  lineProfile.parse({
    form: 'pattern',
    name: 'sentences',
    encoding: 'latin-1',
    comment: ['#'],
    pattern,
    fields: [{ name: 'value', at: value }],
    checksum: { kind: 'xor8-hex', start: '$', marker: '*' },
    ...(time ? { time: { fields: [time], format: 'HHmmss.SSS' } } : {}),
  })
const anySentence = sentences('(?<value>\\d)?.*', 'value')

/** A line with a right checksum is read or holds no value; all others say why. `other`: lines that begin with neither `$` nor `!` nor `#`. */
test.each([
  ['signalk-gps.log', 5748, 0],
  ['signalk-boat-part1.log', 20_000, 0],
  ['gpsd-a.log', 1455, 46],
  ['gpsd-b.log', 46, 23],
  ['gpsd-c.log', 48, 0],
  ['gpsd-d.log', 133, 1],
] as const)('sentences of %s: %d checksums are right, %d are wrong', (file, right, wrong) => {
  const { refused, rows } = readFile(anySentence, `nmea-serial-logs/${file}`)
  expect([rows.length + (refused.nothing_readable ?? 0), refused.checksum_wrong ?? 0]).toEqual([right, wrong])
})

const rmc = '..RMC,(?<time>[^,]*),[^,]*,[^,]*,[^,]*,[^,]*,[^,]*,(?<knots>[^,]*),.*'
const vtg = '..VTG,[^,]*,[^,]*,[^,]*,[^,]*,(?<knots>[^,]*),.*'
const gga = '..GGA,(?<time>[^,]*),[^,]*,[^,]*,[^,]*,[^,]*,[^,]*,[^,]*,[^,]*,(?<metres>[^,]*),.*'
const vhw = '..VHW,[^,]*,[^,]*,[^,]*,[^,]*,(?<knots>[^,]*),.*'
const mwv = '..MWV,[^,]*,[^,]*,(?<speed>[^,]*),.*'

test.each([
  ['signalk-gps.log', rmc, 'knots', 1201, 0.396786, 0.01, 3.36],
  ['signalk-gps.log', vtg, 'knots', 1201, 0.396786, 0.01, 3.36],
  ['signalk-gps.log', gga, 'metres', 1202, 11.771631, 1, 17.4],
  ['signalk-boat-part1.log', vhw, 'knots', 1250, 6.189768, 5.72, 6.44],
  ['signalk-boat-part1.log', mwv, 'speed', 1250, 9.729824, 2.33, 22.74],
  ['signalk-boat-part1.log', vtg, 'knots', 1250, 5.903072, 5.35, 6.2],
  ['gpsd-a.log', gga, 'metres', 51, 1130.44902, 1128, 1133.4],
  ['gpsd-b.log', rmc, 'knots', 23, 0, 0, 0],
  ['gpsd-c.log', gga, 'metres', 5, 72.35, 72.35, 72.35],
  ['gpsd-d.log', rmc, 'knots', 12, 0.04825, 0.038, 0.051],
  ['gpsd-d.log', gga, 'metres', 12, 218.116667, 217.9, 218.5],
] as const)('%s, %s: %s has %d values with mean %d', (file, pattern, group, count, average, minimum, maximum) => {
  const values = readFile(sentences(pattern, group), `nmea-serial-logs/${file}`).column('value')
  expect([values.length, Math.min(...values), Math.max(...values)]).toEqual([count, minimum, maximum])
  expect(mean(values)).toBeCloseTo(average, 6)
})

test.each([
  ['signalk-gps.log', '08:54:11.000', '09:14:11.000'],
  ['gpsd-b.log', '00:59:47.000', '01:00:09.000'],
  ['gpsd-c.log', '18:35:30.000', '18:35:34.000'],
  ['gpsd-d.log', '13:15:19.000', '13:15:30.000'],
] as const)('the times of day of %s run from %s to %s', (file, first, last) => {
  const { rows } = readFile(sentences(rmc, 'knots', 'time'), `nmea-serial-logs/${file}`)
  const times = rows.map(({ time }) => new Date(time).toISOString().slice(11, 23))
  expect([times[0], times.at(-1)]).toEqual([first, last])
})
