import { describe, expect, test } from 'vitest'
import { aNightStation, during, gas, lines, minute, outputsOf, run, ten } from '../../../support/engine-night.ts'

const channels = [
  gas('co', { t95Seconds: 60 }),
  gas('o2'),
  gas('co2', { unit: 'vol%' }),
  gas('no', { selfZeroing: true }),
]
const station = (zero: 'last' | 'none' = 'last') =>
  aNightStation({ channels, corrections: { zero }, phases: { settle: { timesT95: 2 } } })
/** Ten minutes of purge, then twenty of gas; CO falls from 100 to 4 within the first two minutes of the purge. */
const night = lines(ten, 30, minute, (number) =>
  number < 10
    ? { mode: 'P', co: number < 2 ? 100 : 4, o2: 20.9, co2: 0.1, no: 3 }
    : { mode: 'S', co: 54, o2: 5, co2: 9, no: 30 },
)
const half = ten + 30 * minute
const read = outputsOf(station(), during(ten, half, night))
const corrected = (channel: string) => read.blocks('PT30M', channel, 'drift_corrected')[0]

describe('the zero that a purge gives', () => {
  test('is the mean of its settled part', () => {
    const co = read.of('zero').find(({ channel }) => channel === 'co')
    expect([co?.mean, co?.count, co?.standardDeviation, co?.atMs, co?.used]).toEqual([4, 8, 0, ten + 10 * minute, true])
  })
  test('is subtracted from a combustion gas; the value as read stays', () => {
    expect([corrected('co')?.mean, read.blocks('PT30M', 'co')[0]?.mean]).toEqual([50, 54])
  })
  test('is taken down but never subtracted from oxygen, carbon dioxide or a cell that zeroes itself', () => {
    expect(
      read
        .of('zero')
        .filter(({ used }) => !used)
        .map(({ channel }) => channel),
    ).toEqual(['o2', 'co2', 'no'])
    expect([corrected('o2'), corrected('co2'), corrected('no')]).toEqual([undefined, undefined, undefined])
    expect(read.blocks('PT30M', 'no')[0]?.reasons).toContain('internal_zero_drift_not_observable')
  })
  test('is missed only by values from which one is subtracted; a sum with a cell that zeroes itself says so too', () => {
    const put = outputsOf(
      aNightStation({
        channels: [
          gas('co'),
          gas('no', { selfZeroing: true }),
          gas('no2'),
          gas('o2'),
          { id: 'nox', sumOf: ['no', 'no2'], species: 'NOx', unit: 'ppm' },
        ],
        corrections: { zero: 'last' },
        conversions: { referenceOxygen: 3 },
      }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 54, no: 30, no2: 3, o2: 5 })),
      ),
    )
    const said = (channel: string, quantity: string) => put.blocks('PT30M', channel, quantity)[0]?.reasons
    const unobserved = 'internal_zero_drift_not_observable'
    for (const quantity of ['mass_concentration', 'at_reference_oxygen']) {
      expect(said('co', quantity)).toEqual(['no_zero_yet'])
      expect(said('no', quantity)).toEqual([unobserved])
      expect(said('nox', quantity)).toEqual([unobserved, 'no_zero_yet'])
    }
    expect(['co', 'nox'].map((channel) => said(channel, 'as_read'))).toEqual([[], [unobserved]])
  })
  test('is not subtracted where the station does not ask for it', () => {
    const put = outputsOf(station('none'), during(ten, half, night))
    expect([put.of('zero').every(({ used }) => !used), put.blocks('PT30M', 'co', 'drift_corrected')]).toEqual([
      true,
      [],
    ])
  })
  test('before the first one the block says that there is none yet', () => {
    const put = outputsOf(
      station(),
      during(
        ten,
        half,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 54, o2: 5, co2: 9, no: 30 })),
      ),
    )
    expect(put.blocks('PT30M', 'co', 'drift_corrected')[0]?.reasons).toEqual(['no_zero_yet'])
    expect(put.blocks('PT30M', 'co')[0]?.reasons).toEqual([])
  })
  test('is that of one purge: what the run’s end cut off is not mixed into the next', () => {
    const purge = (from: number, value: number) =>
      lines(ten + from * minute, 5, minute, () => ({ mode: 'P', co: value, o2: 20.9, co2: 0.1, no: 3 }))
    const after = lines(ten + 25 * minute, 5, minute, () => ({ mode: 'S', co: 54, o2: 5, co2: 9, no: 30 }))
    const put = outputsOf(station(), [
      run('start', ten),
      ...purge(0, 40),
      run('end', ten + 5 * minute),
      run('start', ten + 20 * minute),
      ...purge(20, 4),
      ...after,
      run('end', half),
    ])
    expect(
      put
        .of('zero')
        .filter(({ channel }) => channel === 'co')
        .map(({ mean, count }) => [mean, count]),
    ).toEqual([
      [40, 3],
      [4, 3],
    ])
  })
})
