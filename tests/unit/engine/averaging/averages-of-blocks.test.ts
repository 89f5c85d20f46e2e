import { describe, expect, test } from 'vitest'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import { aNightStation, clockTime, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

const hour = 60 * minute
type Averaging = NonNullable<StationFileInput['averaging']>
type Differs = Parameters<typeof aNightStation>[0]
const day: NonNullable<Averaging['ofBlocks']>[number] = { average: 'P1D', of: 'PT30M', valid: { atMostInvalid: 6 } }

/** Half-hours of one reading each from `fromMs` on; null: no line. */
const halfHours = (fromMs: number, values: readonly (number | null)[], more: Differs = {}) =>
  outputsOf(
    aNightStation({
      averaging: { blocks: ['PT30M'], ofBlocks: [day] },
      stream: { expectEverySeconds: 1800 },
      ...more,
    }),
    during(
      fromMs,
      fromMs + values.length * 30 * minute,
      lines(fromMs, values.length, 30 * minute, (place) =>
        values[place] === null ? null : { mode: 'S', co: values[place] ?? 0 },
      ),
    ),
  )

// 25 October 2026: 25 hours in the EU, 28 March 2027: 23 hours (Directive 2000/84/EC).
describe.each([
  { what: 'autumn', midnight: Date.UTC(2026, 9, 24, 22), halves: 50 },
  { what: 'spring', midnight: Date.UTC(2027, 2, 27, 23), halves: 46 },
])('on the day of the $what change of the clock', ({ midnight, halves }) => {
  const values = (lost: number) => Array.from({ length: halves }, (_, place) => (place < lost ? null : 40 + place))
  const station = { name: 'Invented duct', timeZone: 'Europe/Vienna' }
  test(`a day has ${halves} half-hours, and its invalid ones are counted among these`, () => {
    const [six] = halfHours(midnight, values(6), { station }).blocks('P1D')
    const [seven] = halfHours(midnight, values(7), { station }).blocks('P1D')
    expect([six?.valid, six?.coverage, six?.endMs]).toEqual([
      true,
      (halves - 6) / halves,
      midnight + halves * 30 * minute,
    ])
    expect([seven?.valid, seven?.reasons]).toEqual([false, ['coverage_low']])
  })
})

describe('a day that the run does not fill', () => {
  test('what lies outside of the run counts as missing, and the day says that the run began in it and ended', () => {
    const rows = halfHours(
      ten,
      Array.from({ length: 20 }, () => 50),
    ).blocks('P1D')
    expect(rows.map(({ valid, mean, coverage, reasons }) => ({ valid, mean, coverage, reasons }))).toEqual([
      { valid: false, mean: 50, coverage: 20 / 48, reasons: ['coverage_low', 'run_started', 'run_ended'] },
    ])
  })
  test('a night gives two days', () => {
    const evening = Date.UTC(2026, 0, 15, 18)
    const rows = halfHours(
      evening,
      Array.from({ length: 28 }, () => 50),
    ).blocks('P1D')
    expect(rows.map(({ startMs, reasons }) => [new Date(startMs).getUTCDate(), reasons])).toEqual([
      [15, ['coverage_low', 'run_started']],
      [16, ['coverage_low', 'run_ended']],
    ])
  })
})

test('half-hours in which the plant stands still are no part of the day', () => {
  const midnight = Date.UTC(2026, 0, 15)
  const put = outputsOf(
    aNightStation({
      averaging: { blocks: ['PT30M'], ofBlocks: [{ ...day, valid: { share: '1/1' } }] },
      stream: { expectEverySeconds: 1800 },
      plantState: { from: 'status' },
    }),
    during(
      midnight,
      midnight + 24 * hour,
      lines(midnight, 48, 30 * minute, (place) => ({
        mode: place < 30 ? 'S+off' : 'S+running',
        co: place < 30 ? 0 : 60,
      })),
    ),
  )
  const [row] = put.blocks('P1D')
  expect([row?.mean, row?.coverage, row?.valid, row?.count]).toEqual([60, 1, true, 18])
})

test('a day in which the plant never ran has no mean, and that is no fault of the coverage', () => {
  const midnight = Date.UTC(2026, 0, 15)
  const put = outputsOf(
    aNightStation({
      averaging: { blocks: ['PT30M'], ofBlocks: [day] },
      stream: { expectEverySeconds: 1800 },
      plantState: { from: 'status' },
    }),
    during(
      midnight,
      midnight + 24 * hour,
      lines(midnight, 48, 30 * minute, () => ({ mode: 'S+off', co: 0 })),
    ),
  )
  const [row] = put.blocks('P1D')
  expect([row?.mean, row?.coverage, row?.valid, row?.reasons]).toEqual([null, null, false, ['not_operating']])
})

test('lowest, highest and deviation of a day are those of its half-hours', () => {
  const midnight = Date.UTC(2026, 0, 15)
  const [row] = halfHours(
    midnight,
    Array.from({ length: 48 }, (_, place) => (place % 2 === 0 ? 40 : 60)),
  ).blocks('P1D')
  // Deviation of 24 × 40 and 24 × 60 around 50, n − 1: √(48 · 100 / 47), by hand.
  expect([row?.minimum, row?.maximum]).toEqual([40, 60])
  expect(row?.standardDeviation).toBeCloseTo(Math.sqrt(4800 / 47), 12)
})

test('a rolling average of hours is formed from whole hours only', () => {
  const start = ten + 20 * minute
  const put = outputsOf(
    aNightStation({
      averaging: {
        blocks: ['PT1H'],
        ofBlocks: [{ average: 'PT2H', of: 'PT1H', window: 'rolling', valid: { share: '2/2' } }],
      },
    }),
    during(
      start,
      start + 4 * hour,
      lines(start, 240, minute, () => ({ mode: 'S', co: 10 })),
    ),
  )
  // The hours of 10:00 and 14:00 were not filled by the run.
  expect(put.rolling('PT2H').map(({ startMs, endMs }) => [clockTime(startMs), clockTime(endMs)])).toEqual([
    ['11:00:00', '13:00:00'],
    ['12:00:00', '14:00:00'],
  ])
})

test('a day is compared with its limit, and raises its alarm', () => {
  const midnight = Date.UTC(2026, 0, 15)
  const put = halfHours(
    midnight,
    Array.from({ length: 48 }, () => 60),
    {
      channels: [gas('co')],
      limits: [{ id: 'co-day', channel: 'co', of: 'block', average: 'P1D', value: 50, unit: 'ppm' }],
      results: { uncertainty: 'ignore' },
    },
  )
  expect(put.blocks('P1D')[0]?.verdicts).toEqual([{ limit: 'co-day', verdict: 'above', complies: false, result: 60 }])
  expect(put.of('alarm').map(({ transition }) => [transition.alarm, transition.to])).toEqual([
    ['limit:co-day', 'raised'],
  ])
})
