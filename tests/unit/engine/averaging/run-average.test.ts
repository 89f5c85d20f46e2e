import { describe, expect, test } from 'vitest'
import {
  aLine,
  aNightStation,
  besideStream,
  during,
  gas,
  lines,
  minute,
  outputsOf,
  ten,
} from '../../../support/engine-night.ts'

type Differs = Parameters<typeof aNightStation>[0]
const averaging: NonNullable<NonNullable<Differs>['averaging']> = {
  blocks: ['PT30M'],
  run: { rule: 'fraction', minimum: '2/3' },
}
const night = (count: number, of: Parameters<typeof lines>[3], more: Differs = {}) =>
  outputsOf(aNightStation({ averaging, ...more }), during(ten, ten + count * minute, lines(ten, count, minute, of)))

describe('the average over the whole run', () => {
  test('is that of its readings, not of its blocks, and stands beside a block of the same length', () => {
    // 30 minutes at 40, then 20 at 90: 60 ppm; the mean of the two half-hours would be 65.
    const put = night(50, (place) => ({ mode: 'S', co: place < 30 ? 40 : 90 }))
    const [run] = put.blocks('PT3000S')
    expect([run?.mean, run?.count, run?.coverage, run?.valid, run?.reasons]).toEqual([60, 50, 1, true, []])
    const whole = night(30, () => ({ mode: 'S', co: 40 }))
    expect([whole.blocks('PT30M').length, whole.blocks('PT1800S').length]).toEqual([1, 1])
  })
  test('has a rule of its own: a purge of a third of the run is the most', () => {
    const valid = (purged: number) =>
      night(60, (place) => ({ mode: place < purged ? 'P' : 'S', co: 40 })).blocks('PT3600S')[0]
    expect([valid(20)?.valid, valid(21)?.valid, valid(21)?.reasons]).toEqual([true, false, ['coverage_low']])
  })
  test('of a run that began inside a minute counts from its own start', () => {
    const start = ten + 30_000
    const put = outputsOf(
      aNightStation({ averaging }),
      during(
        start,
        start + 10 * minute,
        lines(start, 10, minute, () => ({ mode: 'S', co: 40 })),
      ),
    )
    const [run] = put.blocks('PT600S')
    expect([run?.startMs, run?.endMs, run?.countedMs, run?.coverage]).toEqual([start, start + 10 * minute, 600_000, 1])
  })
  test('is referred to the reference oxygen from the means of the run', () => {
    const put = night(20, (place) => ({ mode: 'S', co: 100, o2: place < 10 ? 5 : 15 }), {
      channels: [gas('co'), gas('o2')],
      conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
    })
    // 100 · (20.9 − 3) / (20.9 − 10) = 164.220, by hand.
    expect(put.blocks('PT1200S', 'co', 'at_reference_oxygen')[0]?.mean).toBeCloseTo((100 * 17.9) / 10.9, 9)
  })
  test('gets a verdict and raises no alarm: the run is over', () => {
    const put = night(30, () => ({ mode: 'S', co: 60 }), {
      limits: [{ id: 'co-run', channel: 'co', of: 'block', average: 'run', value: 50, unit: 'ppm' }],
      results: { uncertainty: 'ignore' },
    })
    expect(put.blocks('PT1800S')[0]?.verdicts).toEqual([
      { limit: 'co-run', verdict: 'above', complies: false, result: 60 },
    ])
    expect(put.of('alarm')).toEqual([])
  })
  test('is formed across streams too, from minutes', () => {
    const channels = [gas('co'), gas('o2', { stream: 'beside' })]
    const station = aNightStation({
      averaging,
      channels,
      beside: [besideStream('beside', channels)],
      conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
    })
    const readings = Array.from({ length: 40 }, (_, number) => [
      aLine(ten + number * minute, { mode: 'S', co: 100 }),
      aLine(ten + number * minute, { mode: 'S', o2: 10 }, { stream: 'beside' }),
    ]).flat()
    const [run] = outputsOf(station, during(ten, ten + 40 * minute, readings)).blocks(
      'PT2400S',
      'co',
      'at_reference_oxygen',
    )
    expect([run?.count, run?.valid]).toEqual([40, true])
    // 100 · (20.9 − 3) / (20.9 − 10), by hand.
    expect(run?.mean).toBeCloseTo((100 * 17.9) / 10.9, 9)
  })
  test('is not formed where the station does not ask for it', () => {
    expect(night(30, () => ({ mode: 'S', co: 60 }), { averaging: { blocks: ['PT30M'] } }).blocks('PT1800S')).toEqual([])
  })
})
