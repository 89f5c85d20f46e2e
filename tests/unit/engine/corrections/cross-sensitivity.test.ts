import { describe, expect, test } from 'vitest'
import { countFlag } from '../../../../protocols/words/count-flags.ts'
import { readStation } from '../../../../server/engine/settings/read-station.ts'
import { aChannel, aStationFile } from '../../../support/a-station.ts'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

const channels = [
  gas('no'),
  gas('no2', { range: [0, 100] }),
  { id: 'nox', sumOf: ['no', 'no2'], species: 'NOx' as const, unit: 'ppm' as const },
]
const station = aNightStation({ channels, corrections: { crossSensitivity: { no: { by: { no2: 0.1 } } } } })
const read = (no2: (number: number) => number | null) =>
  outputsOf(
    station,
    during(
      ten,
      ten + 30 * minute,
      lines(ten, 30, minute, (number) => ({ mode: 'S', no: 52, no2: no2(number) })),
    ),
    { listening: true },
  )

describe('a cell that also answers to another gas', () => {
  test('shows its own gas once the other is taken out; sums are formed from what is left', () => {
    const put = read(() => 20)
    // 52 − 0.1 · 20 = 50; NOx 50 + 20.
    expect([
      put.blocks('PT30M', 'no', 'drift_corrected')[0]?.mean,
      put.blocks('PT30M', 'nox', 'drift_corrected')[0]?.mean,
    ]).toEqual([expect.closeTo(50, 12), expect.closeTo(70, 12)])
    expect(put.blocks('PT30M', 'no')[0]?.mean).toBe(52)
    expect([...(put.of('reading')[0]?.corrected ?? [])]).toEqual([50, 20, 70].map((one) => expect.closeTo(one, 12)))
  })
  test('does not count while the other gas has no valid reading', () => {
    const put = read((number) => (number < 20 ? 20 : 300))
    expect(put.blocks('PT30M', 'no', 'drift_corrected')[0]).toMatchObject({ count: 20 })
    expect(
      put
        .of('reading')
        .map(({ flags }) => flags[0])
        .slice(19, 21),
    ).toEqual([countFlag.counts, countFlag.interferentInvalid])
  })
})

describe('a station file is refused', () => {
  const faultsOf = (crossSensitivity: Record<string, { by: Record<string, number> }>, more = {}) => {
    const file = aStationFile(
      [
        aChannel('co', { species: 'CO' }),
        aChannel('no', { species: 'NO' }),
        aChannel('co2', { species: 'CO2', unit: 'vol%', origin: 'computed' }),
      ],
      { corrections: { crossSensitivity, ...more } },
    )
    return readStation(file).findings.map(({ path, message }) => `${path.join('.')}: ${message}`)
  }
  test('where an interfering gas is not measured', () => {
    expect(faultsOf({ co: { by: { h2: 0.3 } } })).toEqual([
      'corrections.crossSensitivity.co.by.h2: "h2" is no channel; channels are co, no, co2',
    ])
    expect(faultsOf({ co: { by: { co2: 0.3 } } })).toEqual([
      'corrections.crossSensitivity.co.by.co2: "co2" was computed by the instrument; only what is measured can be taken out',
    ])
  })
  test('where two cells are too alike to be told apart', () => {
    expect(faultsOf({ co: { by: { no: 0.9 } }, no: { by: { co: 0.9 } } })).toEqual([
      'corrections.crossSensitivity: the cells of stream "main" are too alike to be told apart: condition number 19, at most 10 is allowed, since errors of readings grow by as much',
    ])
    expect(faultsOf({ co: { by: { no: 1 } }, no: { by: { co: 1 } } })[0]).toContain('at most 10 is allowed')
  })
  test('where zeros are interpolated and readings are converted one by one', () => {
    const file = aStationFile([aChannel('co', { species: 'CO' })], {
      corrections: { zero: 'interpolated' },
      conversions: { applyTo: 'readings' },
    })
    expect(readStation(file).findings.map(({ path }) => path.join('.'))).toEqual(['corrections.zero'])
  })
  test('where means of runs would be corrected twice', () => {
    expect(faultsOf({}, { bias: 'run-means', zero: 'interpolated', span: { co: 1.1 } })).toEqual([
      'corrections.bias: "run-means" corrects means by checks before and after, and zero "interpolated" has already done part of it; set bias to "none", or zero to "none"',
      'corrections.bias: "run-means" and the span factors of co would correct twice; set bias to "none", or leave the factors out',
    ])
  })
})

describe('the regime', () => {
  const biasOf = (corrections: object) => {
    const read = readStation({ ...aStationFile([aChannel('co', { species: 'CO' })]), regime: 'us', corrections })
    return read.ok ? read.station.corrections.bias : read.findings
  }
  test('of US source tests corrects means of runs by checks, unless the file subtracts zeros', () => {
    expect([biasOf({}), biasOf({ zero: 'last' }), biasOf({ span: { co: 1.02 } })]).toEqual([
      'run-means',
      'none',
      'none',
    ])
  })
})
