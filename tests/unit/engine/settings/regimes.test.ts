import { describe, expect, test } from 'vitest'
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

  test('custom: the physical oxygen of air, minutes and half hours', () => {
    expect(read({}).conversions.ambientOxygen).toBe(20.95)
    expect(read({ regime: 'custom' }).averaging.blocks).toEqual(['PT1M', 'PT30M'])
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
