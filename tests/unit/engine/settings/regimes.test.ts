import { describe, expect, test } from 'vitest'
import { originOf } from '../../../../server/engine/settings/in-force.ts'
import { readStation } from '../../../../server/engine/settings/read-station.ts'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import { aChannel, aStationFile } from '../../../support/a-station.ts'

type Rest = Partial<Omit<StationFileInput, 'channels'>>
function read(rest: Rest) {
  const found = readStation(aStationFile([aChannel('co', { species: 'CO' })], rest))
  if (!found.ok) throw new Error(JSON.stringify(found.findings))
  return found.station
}

describe('a regime presets what the file leaves open', () => {
  // Sources: Directive 2010/75/EU, Annex VI Part 7 (21 %, 273.15 K, mg/m3) and Part 8 (half hours); two thirds after EN 17255-1, from memory.
  test('eu: half hours, two thirds, 273.15 K, mg/m3 at 21 % oxygen in air', () => {
    const { station, conversions, averaging } = read({ regime: 'eu' })
    expect(station.standardTime).toBe(false)
    expect(conversions).toMatchObject({
      ambientOxygen: 21,
      referredUnit: 'mg/m3',
      normal: { temperatureK: 273.15, pressurekPa: 101.325 },
    })
    expect(averaging).toMatchObject({ blocks: ['PT30M'], validity: { rule: 'fraction', minimum: '2/3' } })
  })

  // Sources: 40 CFR 60.13(h)(2) (quadrants), 60.4213 (20.9 %), 68 °F as the standard temperature of the US methods.
  test('us: hours by quadrants in standard time, 293.15 K, ppm at 20.9 % oxygen in air', () => {
    const { station, conversions, averaging } = read({ regime: 'us' })
    expect(station.standardTime).toBe(true)
    expect(conversions).toMatchObject({ ambientOxygen: 20.9, referredUnit: 'ppm', normal: { temperatureK: 293.15 } })
    expect(averaging).toMatchObject({
      blocks: ['PT1H'],
      validity: { rule: 'quadrants', purgeIsQualityAssurance: false },
    })
  })

  // Source: Directive 2010/75/EU, Annex VI, Part 8, 1.2: no more than five half-hours of a day discarded.
  test('eu: the day from its half-hours, valid with at most five of them invalid', () => {
    expect(read({ regime: 'eu' }).averaging.ofBlocks).toEqual([
      { average: 'P1D', of: 'PT30M', window: 'fixed', hours: 'clock', valid: { atMostInvalid: 5 } },
    ])
    expect(read({ regime: 'us' }).averaging.ofBlocks).toEqual([])
  })
  test.each([
    ['without half-hours', { blocks: ['PT10M'] }],
    ['where blocks count from the run’s start', { align: 'run' }],
    ['where the file says that there are none', { ofBlocks: [] }],
  ] as const)('eu: no day %s', (_why, averaging) => {
    expect(read({ regime: 'eu', averaging: structuredClone(averaging) as never }).averaging.ofBlocks).toEqual([])
  })

  test('custom: the physical oxygen of air, minutes and half hours', () => {
    expect(read({}).conversions.ambientOxygen).toBe(20.95)
    expect(read({ regime: 'custom' }).averaging.blocks).toEqual(['PT1M', 'PT30M'])
  })
})

describe('how results are stated and judged', () => {
  // Half away from zero: common practice; comparison without rounding: common practice. The uncertainty is not preset:
  // TA Luft 5.3.2.4 adds it in single tests, EMV-L § 9 subtracts it.
  test('eu: half away from zero, compared as they are, and nobody decides about the uncertainty but the file', () => {
    const { results, averaging } = read({ regime: 'eu' })
    expect(results).toEqual({
      label: 'both',
      rounding: { ties: 'half-away' },
      negative: 'as-is',
      belowDetection: 'as-read',
      comparison: 'absolute',
    })
    expect(averaging.run).toEqual({ rule: 'fraction', minimum: '2/3' })
  })

  // Half to even: ASTM E29, 40 CFR 1065.20(e). Compared by rounding: EPA memo of 6 June 1990, from memory. Below
  // detection: EPA GD-51 (2009). Runs of an hour: 40 CFR 63.7(e)(3). Labelled by the hour's begin: Part 75 practice, from memory.
  test('us: half to even, rounded to the limit’s last digit, the detection limit for what lies below, no uncertainty', () => {
    const { results, averaging } = read({ regime: 'us' })
    expect(results).toEqual({
      label: 'start',
      rounding: { ties: 'half-even' },
      negative: 'as-is',
      belowDetection: 'detection-limit',
      comparison: 'rounded',
      uncertainty: 'ignore',
    })
    expect(averaging.run).toEqual({ rule: 'minutes', minimum: 60 })
  })

  test('custom: no verdicts and no averages over runs unless the file asks for them', () => {
    const { results, averaging } = read({ regime: 'custom' })
    expect(results.uncertainty).toBeUndefined()
    expect([averaging.run, averaging.ofBlocks]).toEqual(['none', []])
  })

  test('each of them can be set apart', () => {
    const { results, averaging } = read({
      regime: 'us',
      results: { rounding: { significantFigures: 3 }, comparison: 'absolute', uncertainty: 'add' },
      averaging: { run: 'none' },
    })
    expect(results).toMatchObject({
      label: 'start',
      rounding: { ties: 'half-even', significantFigures: 3 },
      comparison: 'absolute',
      uncertainty: 'add',
    })
    expect(averaging.run).toBe('none')
  })
})

describe('where a setting in force is from', () => {
  const from = (rest: Rest, path: string) => originOf(read(rest), path.split('.'))
  test.each([
    { rest: { regime: 'eu' }, path: 'conversions.ambientOxygen', origin: 'preset' },
    { rest: { regime: 'eu' }, path: 'averaging.blocks', origin: 'preset' },
    { rest: { regime: 'eu' }, path: 'averaging.ofBlocks', origin: 'preset' },
    { rest: { regime: 'eu' }, path: 'results.rounding.ties', origin: 'preset' },
    { rest: { regime: 'eu' }, path: 'conversions.oxygenGuard', origin: 'built in' },
    { rest: {}, path: 'conversions.ambientOxygen', origin: 'built in' },
    { rest: {}, path: 'channels', origin: 'station file' },
    {
      rest: { regime: 'eu', conversions: { ambientOxygen: 20.9 } },
      path: 'conversions.ambientOxygen',
      origin: 'station file',
    },
    { rest: { regime: 'eu', averaging: { blocks: ['PT10M'] } }, path: 'averaging.blocks', origin: 'station file' },
    { rest: { regime: 'eu', results: { uncertainty: 'add' } }, path: 'results.uncertainty', origin: 'station file' },
    { rest: { regime: 'us' }, path: 'results.uncertainty', origin: 'preset' },
    // What the file says as the preset has it makes no difference.
    { rest: { regime: 'eu', conversions: { ambientOxygen: 21 } }, path: 'conversions.ambientOxygen', origin: 'preset' },
  ] as const)('$path of $rest: $origin', ({ rest, path, origin }) => {
    expect(from(structuredClone(rest) as Rest, path)).toBe(origin)
  })
})

describe('what the file says stays', () => {
  test('single settings beside presets', () => {
    const { conversions, averaging } = read({
      regime: 'eu',
      conversions: { ambientOxygen: 20.9 },
      averaging: { blocks: ['PT10M'] },
    })
    expect(conversions).toMatchObject({ ambientOxygen: 20.9, referredUnit: 'mg/m3' })
    expect(averaging).toMatchObject({ blocks: ['PT10M'], validity: { rule: 'fraction' } })
  })

  test('another validity rule takes nothing from the regime’s', () => {
    expect(
      read({ regime: 'us', averaging: { validity: { rule: 'minutes', minimum: 45 } } }).averaging.validity,
    ).toEqual({ rule: 'minutes', minimum: 45 })
  })
})

describe('the profile proposes, the station decides', () => {
  const streams = (field: object): StationFileInput['streams'] => [
    {
      id: 'main',
      source: { kind: 'tcp', host: 'h', port: 1 },
      expectEverySeconds: 1,
      profile: { form: 'delimited', name: 'p', fields: [{ name: 'co', at: 0, ...field }] },
    },
  ]
  const channelOf = (channel: object, field: object) => {
    const found = readStation({
      ...aStationFile([], { streams: streams(field) }),
      channels: [{ id: 'co', stream: 'main', field: 'co', species: 'CO', ...channel }],
    })
    return found.ok ? found.station.channels[0] : found.findings
  }

  test('unit, origin and self-zeroing come from the field where the channel is silent', () => {
    expect(channelOf({}, { unit: 'mg/m3', origin: 'computed', selfZeroing: true })).toMatchObject({
      unit: 'mg/m3',
      origin: 'computed',
      selfZeroing: true,
    })
  })

  test('the channel’s own word wins', () => {
    expect(
      channelOf({ unit: 'ppm', origin: 'measured', selfZeroing: false }, { origin: 'computed', selfZeroing: true }),
    ).toMatchObject({ origin: 'measured', selfZeroing: false })
  })
})
