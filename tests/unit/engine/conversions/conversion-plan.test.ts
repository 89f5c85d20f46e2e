import { describe, expect, test } from 'vitest'
import { conversionPlan, plannedRecipes } from '../../../../server/engine/conversions/conversion-plan.ts'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import { stationShape } from '../../../../server/engine/settings/station-shape.ts'
import { aChannel, aStation, aStationFile, aSum } from '../../../support/a-station.ts'

type Rest = Partial<Omit<StationFileInput, 'channels'>>
const o2 = aChannel('o2', { species: 'O2', unit: 'vol%' })
const co = aChannel('co', { species: 'CO' })
const limit = (more: object) =>
  ({ channel: 'co', of: 'block', average: 'PT30M', value: 100, unit: 'mg/m3', ...more }) as NonNullable<
    StationFileInput['limits']
  >[number]

/** `co mass_concentration mg/m3 dry`, with `@3` where it is referred. */
const planned = (channels: StationFileInput['channels'], rest: Rest = {}): string[] =>
  conversionPlan(aStation(channels, rest)).values.map(
    ({ channel, quantity, unit, basis, referenceOxygen }) =>
      `${channels[channel]?.id} ${quantity} ${unit} ${basis}${referenceOxygen === null ? '' : ` @${referenceOxygen}`}`,
  )
/** Faults of a station's limits, without the other cross-checks in front of them. */
const faultsOf = (channels: StationFileInput['channels'], rest: Rest = {}): string[] =>
  plannedRecipes(stationShape.parse(aStationFile(channels, rest))).faults.map(
    ({ key, message }) => `${key}: ${message}`,
  )

describe('what is formed of a channel', () => {
  test('a dry combustion gas in ppm gets a mass concentration, and the reference oxygen where it is set', () => {
    expect(planned([co, o2])).toEqual(['co mass_concentration mg/m3 dry'])
    expect(planned([co, o2], { conversions: { referenceOxygen: 3 } })).toEqual([
      'co mass_concentration mg/m3 dry',
      'co at_reference_oxygen mg/m3 dry @3',
    ])
    expect(planned([co, o2], { conversions: { referenceOxygen: 15, referredUnit: 'ppm' } })).toContain(
      'co at_reference_oxygen ppm dry @15',
    )
  })

  test('oxygen, carbon dioxide and water get neither', () => {
    const channels = [
      o2,
      aChannel('co2', { species: 'CO2', unit: 'vol%' }),
      aChannel('h2o', { species: 'H2O', unit: 'vol%', basis: 'wet' }),
    ]
    expect(planned(channels, { conversions: { referenceOxygen: 3 } })).toEqual([])
  })

  test('wet gas is dried where the moisture is known, oxygen too', () => {
    const wet = [
      { ...co, basis: 'wet' as const },
      { ...o2, basis: 'wet' as const },
    ]
    expect(planned(wet, { conversions: { moisture: { percent: 10 } } })).toEqual([
      'co dry ppm dry',
      'co mass_concentration mg/m3 dry',
      'o2 dry vol% dry',
    ])
    expect(planned(wet)).toEqual(['co mass_concentration mg/m3 wet'])
  })

  test('wet gas without a moisture is not referred, and the reason is told', () => {
    const { values } = conversionPlan(aStation([{ ...co, basis: 'wet' }, o2], { conversions: { referenceOxygen: 3 } }))
    const referred = values.find(({ quantity }) => quantity === 'at_reference_oxygen')
    expect(referred?.convert([100, 5])).toBeNaN()
    expect(referred?.reason([100, 5])).toBe('moisture_unknown')
  })

  test('what the instrument has turned into mg/m3 or referred itself is never converted twice', () => {
    const computed = aChannel('co_mg', { species: 'CO', unit: 'mg/m3', origin: 'computed' })
    const referred = aChannel('co_ref', { species: 'CO', referenceOxygen: 3 })
    expect(planned([computed, referred, o2], { conversions: { referenceOxygen: 3 } })).toEqual([])
  })

  test('NOx that the instrument computed from NO, still in ppm, is converted', () => {
    expect(planned([aChannel('nox', { species: 'NOx', origin: 'computed' })])).toEqual([
      'nox mass_concentration mg/m3 dry',
    ])
  })

  test('mg/m3 that the instrument measured is referred, at its own conditions', () => {
    const { values } = conversionPlan(
      aStation([aChannel('co', { species: 'CO', unit: 'mg/m3' }), o2], {
        conversions: { referenceOxygen: 3, ambientOxygen: 21 },
      }),
    )
    expect(values.map(({ quantity, conditions }) => [quantity, conditions])).toEqual([['at_reference_oxygen', null]])
    expect(values[0]?.convert([100, 12])).toBe(200)
  })

  test('a sum takes its members, each in its own unit', () => {
    const channels = [
      aChannel('no', { species: 'NO' }),
      aChannel('no2', { species: 'NO2', unit: 'ppb' }),
      aSum('nox', ['no', 'no2'], { species: 'NOx' }),
    ]
    const value = conversionPlan(aStation(channels)).values.find(({ channel }) => channel === 2)
    expect(value?.inputs).toEqual([0, 1])
    expect(value?.convert([80, 4000])).toBeCloseTo((84 * 46.0055) / 22.41397, 4) // Molar volume at 273.15 K, 101.325 kPa: CODATA.
  })

  test('a conversion with one input is a plain factor, one with oxygen is not', () => {
    const { values } = conversionPlan(aStation([co, o2], { conversions: { referenceOxygen: 3 } }))
    expect(values.map(({ linearInFirst, inputs }) => [linearInFirst, inputs])).toEqual([
      [true, [0]],
      [false, [0, 1]],
    ])
  })
})

describe('why a value cannot be formed', () => {
  const station = aStation(
    [{ ...co, basis: 'wet' }, o2, aChannel('h2o', { species: 'H2O', unit: 'vol%', basis: 'wet' })],
    { conversions: { referenceOxygen: 3, moisture: { channel: 'h2o' } } },
  )
  const referred = conversionPlan(station).values.find(({ quantity }) => quantity === 'at_reference_oxygen')
  test.each([
    { inputs: [100, 5, 10], reason: null },
    { inputs: [Number.NaN, 5, 10], reason: 'nothing_counted' },
    { inputs: [100, Number.NaN, 10], reason: 'oxygen_invalid' },
    { inputs: [100, 20, 10], reason: 'oxygen_near_ambient' },
    { inputs: [100, 5, Number.NaN], reason: 'peripheral_invalid' },
    { inputs: [100, 5, 99], reason: 'moisture_unknown' },
  ])('$inputs: $reason', ({ inputs, reason }) => {
    expect(referred?.reason(inputs)).toBe(reason)
    expect(Number.isNaN(referred?.convert(inputs))).toBe(reason !== null)
  })
})

describe('which oxygen refers a channel', () => {
  const streams = ['inlet', 'outlet'].map((id) => ({
    id,
    source: { kind: 'tcp' as const, host: 'h', port: 1 },
    expectEverySeconds: 1,
    profile: {
      form: 'delimited' as const,
      name: id,
      fields: [
        { name: 'co', at: 0 },
        { name: 'o2', at: 1 },
      ],
    },
  }))
  const both = streams.flatMap(({ id }) => [
    aChannel(`co_${id}`, { species: 'CO', stream: id, field: 'co' }),
    aChannel(`o2_${id}`, { species: 'O2', unit: 'vol%', stream: id, field: 'o2' }),
  ])

  test('that of its own stream, where each stream has one', () => {
    const plan = conversionPlan(aStation(both, { streams, conversions: { referenceOxygen: 3 } }))
    expect(
      plan.values.filter(({ quantity }) => quantity === 'at_reference_oxygen').map(({ inputs }) => inputs),
    ).toEqual([
      [0, 1],
      [2, 3],
    ])
    expect(plan.oxygen).toBeNull()
    expect([...plan.oxygenChannels]).toEqual([1, 3])
    expect(plan.referred.map((place) => (place === null ? null : plan.values[place]?.channel))).toEqual([
      0,
      null,
      2,
      null,
    ])
  })

  test('the one set, for all', () => {
    const plan = conversionPlan(
      aStation(both, { streams, conversions: { referenceOxygen: 3, oxygenChannel: 'o2_outlet' } }),
    )
    expect(
      plan.values.filter(({ quantity }) => quantity === 'at_reference_oxygen').map(({ inputs }) => inputs),
    ).toEqual([
      [0, 3],
      [2, 3],
    ])
  })
})

describe('what a limit is compared with', () => {
  const averaging = { blocks: ['PT30M'] }
  test('the channel’s own value where unit and basis are its own', () => {
    expect(conversionPlan(aStation([co, o2], { averaging, limits: [limit({ unit: 'ppm' })] })).limits).toEqual([null])
  })

  test('the mass concentration, or the value at the limit’s reference oxygen', () => {
    const station = aStation([co, o2], {
      averaging,
      conversions: { referenceOxygen: 3 },
      limits: [limit({}), limit({ referenceOxygen: 3 }), limit({ unit: 'ppm', referenceOxygen: 15 })],
    })
    const plan = conversionPlan(station)
    expect(
      plan.limits
        .map((place) => plan.values[place ?? -1])
        .map((value) => [value?.quantity, value?.unit, value?.referenceOxygen]),
    ).toEqual([
      ['mass_concentration', 'mg/m3', null],
      ['at_reference_oxygen', 'mg/m3', 3],
      ['at_reference_oxygen', 'ppm', 15],
    ])
  })

  test('a limit in another unit of the same kind brings its own value', () => {
    const plan = conversionPlan(aStation([co], { averaging, limits: [limit({ unit: 'ppb' })] }))
    const value = plan.values[plan.limits[0] ?? -1]
    expect([value?.quantity, value?.unit, value?.convert([2])]).toEqual(['drift_corrected', 'ppb', 2000])
  })

  test('a value that the instrument referred itself is compared as it stands', () => {
    const channel = aChannel('co', { species: 'CO', unit: 'mg/m3', origin: 'computed', referenceOxygen: 3 })
    expect(conversionPlan(aStation([channel], { averaging, limits: [limit({ referenceOxygen: 3 })] })).limits).toEqual([
      null,
    ])
  })

  test.each([
    {
      why: 'another unit than a temperature has',
      channels: [aChannel('co', { quantity: 'temperature', unit: 'degC' })],
      limit: limit({ unit: 'degF' }),
      fault: 'unit: "degF" cannot be compared with co, which is in degC; use degC',
    },
    {
      why: 'ppm from the instrument’s own mg/m3',
      channels: [aChannel('co', { species: 'CO', unit: 'mg/m3' })],
      limit: limit({ unit: 'ppm' }),
      fault: 'unit: "ppm" cannot be formed from co, which is in mg/m3; use mg/m3, ug/m3, g/m3',
    },
    {
      why: 'wet from dry',
      channels: [co],
      limit: limit({ basis: 'wet' }),
      fault: 'basis: "wet" cannot be formed, since co is dry; use "dry"',
    },
    {
      why: 'dry from wet without a moisture',
      channels: [{ ...co, basis: 'wet' as const }],
      limit: limit({}),
      fault: 'basis: "dry" cannot be formed, since co is wet and conversions.moisture is not set; set it, or use "wet"',
    },
    {
      why: 'a reference without oxygen',
      channels: [co],
      limit: limit({ referenceOxygen: 3 }),
      fault:
        'referenceOxygen: 3 cannot be formed: no single O2 channel tells the oxygen; set conversions.oxygenChannel',
    },
    {
      why: 'a second reference in the same unit',
      channels: [co, o2],
      rest: { conversions: { referenceOxygen: 3 } },
      limit: limit({ referenceOxygen: 15 }),
      fault:
        'referenceOxygen: 15 differs from 3, to which co is already referred in mg/m3; use one reference oxygen per channel and unit',
    },
  ])('a limit that cannot be formed is a fault: $why', ({ channels, rest, limit, fault }) => {
    expect(faultsOf(channels, { ...rest, limits: [limit] })).toEqual([fault])
  })
})
