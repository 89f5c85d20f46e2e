import { expect, test } from 'vitest'
import { proposeProfile } from '../../protocols/instrument/propose/propose.ts'
import { linesOf } from '../support/line-reading.ts'
import { openData, openDataIn } from '../support/open-data.ts'
import { expectRead, namedFields, proposed } from '../support/proposed.ts'

// What is expected of each file stands in the README beside it: form, decimal mark, time, units, missing values.

test('the night of air and burn cycles, names with values: form, time, gases and the words for air and gas', () => {
  const night = proposed(openData('nist-air-burn-cycles/night.kv.log'))
  expectRead(night, 1)
  expect(night.profile).toMatchObject({ form: 'key-value', between: ' ', equals: '=', decimal: '.' })
  expect(night.profile.time).toEqual({ fields: [0], format: 'iso', zone: 'station' })
  expect(namedFields(night)).toEqual({ mode: 'status', o2: 'O2', co2: 'CO2', co: 'CO', flow: 'flow' })
  expect(night.profile.status[0]?.tokens).toEqual({ AIR: { phase: 'purge' }, GAS: { phase: 'measure' } })
  expect(night.stepSeconds).toBe(1)
  // Units stand nowhere in these lines; nobody guesses them.
  expect(night.unnamed.filter((sentence) => sentence.startsWith('the unit of')).length).toBe(4)
})

test('the same night in columns: decimal comma, headings with units, date and time of day in two columns', () => {
  const night = proposed(openData('nist-air-burn-cycles/night.delim.log'))
  expectRead(night, 1)
  expect(night.profile).toMatchObject({ form: 'delimited', delimiter: ';', decimal: ',', header: true })
  expect(night.profile.time).toMatchObject({ fields: ['Date', 'Time'], format: 'dd/MM/yyyy HH.mm.ss' })
  expect(namedFields(night)).toEqual({
    o2: 'O2 vol%',
    co2: 'CO2 vol%',
    co: 'CO ppm',
    flow: 'flow kg/s',
    mass: 'mass g',
  })
  expect(night.unnamed).toEqual([])
})

test('half a year of roadside air: −200 is no value, and cells named by their part number stay unnamed', () => {
  const air = proposed(openData('uci-air-quality/AirQualityUCI.part.csv'))
  expectRead(air, 1)
  expect(air.profile).toMatchObject({ form: 'delimited', delimiter: ';', decimal: ',' })
  expect(air.profile.missing).toContain('-200')
  expect(namedFields(air)).toEqual({ co: 'CO', nox: 'NOx', no2: 'NO2', t: 'temperature', rh: 'humidity' })
  expect(air.unnamed.join('\n')).toContain('“PT08.S1(CO)”')
  expect(air.stepSeconds).toBe(3600)
})

test.each(['2011', '2012', '2013'])('the gas turbine’s year %s: no time, CO and NOx by their headings', (year) => {
  const turbine = proposed(openData(`uci-gas-turbine/gt_${year}.csv`))
  expectRead(turbine, 1)
  expect(turbine.profile.time).toBeUndefined()
  expect(namedFields(turbine)).toEqual({ co: 'CO', nox: 'NOx' })
})

test.each(['gas_peaker_unit_b', 'gas_turbine_unit_a'])(
  'hourly rows of %s: the hour stands beside the date, and masses of gases are no concentrations',
  (unit) => {
    const rows = proposed(openData(`epa-hourly-units/${unit}.csv`))
    expectRead(rows, 1)
    expect(rows.profile.time).toMatchObject({ fields: ['op_date', 'op_hour'], format: 'yyyy-MM-dd H' })
    expect(rows.stepSeconds).toBe(3600)
    expect(namedFields(rows)).toEqual({ gload: 'power MW' })
  },
)

const tests = ['nist-bench-burns', 'nist-air-burn-cycles'].flatMap((set) => openDataIn(`${set}/tests`))

test.each(tests)('%s: oxygen, carbon dioxide and carbon monoxide by their headings, and every row read', (file) => {
  const burn = proposed(openData(file))
  expectRead(burn, 0.99)
  expect(namedFields(burn)).toMatchObject({ o2: 'O2', co2: 'CO2', co: 'CO', mfr: 'flow kg/s' })
  // “Vol fr” is a unit of none of ours: it is asked for, not guessed.
  expect(burn.unnamed.filter((sentence) => sentence.includes('“Vol fr”')).length).toBe(3)
})

test('pressures of a pitot traverse: the unit in the heading', () => {
  const traverse = proposed(openData('duct-pitot-traverse/traverse.csv'))
  expectRead(traverse, 1)
  expect(namedFields(traverse)).toEqual({ dp: 'pressure inH2O' })
})

test.each(['signalk-gps', 'signalk-boat-part1', 'gpsd-a', 'gpsd-b', 'gpsd-c', 'gpsd-d'])(
  'sentences of many kinds in %s: no profile reads them all, and their kinds are told',
  (name) => {
    const proposal = proposeProfile(linesOf(openData(`nmea-serial-logs/${name}.log`)))
    expect(proposal.ok).toBe(false)
    expect(!proposal.ok && proposal.tried.map(({ form }) => form)).toEqual(
      expect.arrayContaining(['json-lines', 'key-value', 'delimited', 'fixed-width', 'pattern']),
    )
    expect(!proposal.ok && proposal.kinds.length).toBeGreaterThan(1)
  },
)

test('sentences of one kind: the checksum is found and every one of them is read', () => {
  const one = linesOf(openData('nmea-serial-logs/signalk-gps.log'))
    .map((line) => Buffer.from(line).toString('latin1'))
    .filter((line) => line.startsWith('$GPVTG'))
  const proposal = proposed(one.join(''))
  expectRead(proposal, 1)
  expect(proposal.profile.checksum).toMatchObject({ kind: 'xor8-hex', start: '$', marker: '*' })
})
