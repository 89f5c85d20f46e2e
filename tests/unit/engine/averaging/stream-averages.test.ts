import { describe, expect, test } from 'vitest'
import {
  aLine,
  aNightStation,
  during,
  firstBlock,
  gas,
  lines,
  minute,
  operator,
  outputsOf,
  ten,
  tick,
} from '../../../support/engine-night.ts'

// The rules are the project's own statement of how numbers are formed (docs/calculations.md); where a regulation or a
// book stands behind one, it is named beside the case.

const half = ten + 30 * minute
/** A line each 10 s; two half-hours are looked at at most. */
const tenSeconds = aNightStation({ stream: { expectEverySeconds: 10 } })
const co = (atMs: number, value: number | string | null, mode = 'S') => aLine(atMs, { mode, co: value })

describe('the time that a reading represents', () => {
  test('up to the next line where that comes at most one and a half steps later', () => {
    const row = firstBlock(tenSeconds, during(ten, half, [co(ten, 1), co(ten + 15_000, 2)]))
    expect([row.countedMs, row.mean, row.reasons.includes('gap')]).toEqual([25_000, (1 * 15 + 2 * 10) / 25, true]) // the gap is the one after the last line
  })
  test('one step where the next line comes later than that, and the gap is told', () => {
    const put = outputsOf(tenSeconds, during(ten, half, [co(ten, 1), co(ten + 15_001, 2)]))
    expect(put.blocks('PT30M')[0]?.countedMs).toBe(20_000)
    expect(put.of('notice').map(({ code }) => code)).toEqual(['gap'])
  })
  test('one step for the last line of a run that goes on', () => {
    expect(firstBlock(tenSeconds, during(ten, half, [co(ten, 1)])).countedMs).toBe(10_000)
  })
  test('no longer than the run', () => {
    expect(firstBlock(tenSeconds, during(ten, ten + 14_000, [co(ten, 1), co(ten + 10_000, 1)])).countedMs).toBe(14_000)
  })
  test('it is cut at the edge of a block, while the reading is counted where its time lies', () => {
    const [before, after] = outputsOf(
      tenSeconds,
      during(half - minute, half + minute, [co(half - 4000, 7), co(half + 6000, 9)]),
    ).blocks('PT30M')
    expect([before?.countedMs, before?.count, before?.mean]).toEqual([4000, 1, 7])
    expect([after?.countedMs, after?.count]).toEqual([16_000, 1])
    expect(after?.mean).toBeCloseTo((7 * 6 + 9 * 10) / 16, 12)
  })
  test('it is cut where the operator marks a purge between two lines', () => {
    const purge = operator(ten + 14_000, { do: 'mark-phase', stream: 'main', phase: 'purge' })
    const station = aNightStation({
      stream: { expectEverySeconds: 10 },
      phases: { from: ['operator', 'status'], settle: { seconds: 0 } },
    })
    expect(
      firstBlock(station, during(ten, half, [co(ten, 1), co(ten + 10_000, 1), purge, co(ten + 20_000, 1)])).countedMs,
    ).toBe(14_000)
  })
  test('two lines that arrive at the same instant both count; the first represents no time', () => {
    const row = firstBlock(tenSeconds, during(ten, half, [co(ten, 4), co(ten, 8)]))
    expect([row.count, row.countedMs, row.mean, row.minimum, row.maximum]).toEqual([2, 10_000, 8, 4, 8])
  })
})

describe('a stamp at the end of what it represents', () => {
  test('keyed by the line: it moves back by one step', () => {
    const station = aNightStation({ stream: { stamp: 'end', timeFrom: 'line' } })
    const row = firstBlock(
      station,
      during(
        ten,
        half,
        lines(ten + minute, 30, minute, (number) => ({ mode: 'S', co: number })),
      ),
    )
    expect([row.count, row.coverage, row.mean]).toEqual([30, 1, 14.5]) // mean of 0…29
  })
  test('keyed by arrival: it moves back by one step, and punctual lines leave no gap', () => {
    const station = aNightStation({ stream: { stamp: 'end' } })
    const row = firstBlock(
      station,
      during(
        ten,
        half,
        lines(ten + minute, 30, minute, (number) => ({ mode: 'S', co: number })),
      ),
    )
    expect([row.count, row.coverage, row.mean, row.reasons]).toEqual([30, 1, 14.5, []])
  })
  test('keyed by arrival: what was measured before the run does not count in it', () => {
    const station = aNightStation({ stream: { stamp: 'end' } })
    const row = firstBlock(
      station,
      during(
        ten,
        half,
        lines(ten, 30, minute, (number) => ({ mode: 'S', co: number })),
      ),
    )
    expect([row.count, row.countedMs]).toEqual([29, 29 * minute])
  })
})

describe('coverage', () => {
  const everyMinute = (count: number, mode: (number: number) => string) =>
    lines(ten, count, minute, (number) => ({ mode: mode(number), co: 10 }))
  const running = (from: 'status' | 'operator') => aNightStation({ plantState: { from } })
  test('without a source of the plant state the whole block is the denominator', () => {
    expect(
      firstBlock(
        aNightStation(),
        during(
          ten,
          half,
          everyMinute(15, () => 'S'),
        ),
      ).coverage,
    ).toBe(0.5)
  })
  test('time in which the plant did not run counts neither above nor below the line', () => {
    const row = firstBlock(
      running('status'),
      during(
        ten,
        half,
        everyMinute(30, (number) => (number < 12 ? 'S+running' : 'S+off')),
      ),
    )
    expect([row.countedMs, row.coverage, row.valid]).toEqual([12 * minute, 1, true])
  })
  test('readings in start-up do not count', () => {
    const row = firstBlock(
      running('status'),
      during(
        ten,
        half,
        everyMinute(30, (number) => (number < 10 ? 'S+start-up' : 'S+running')),
      ),
    )
    expect([row.count, row.coverage]).toEqual([20, 1])
  })
  test('a block in which the plant never ran has no coverage and says so', () => {
    const row = firstBlock(
      running('status'),
      during(
        ten,
        half,
        everyMinute(30, () => 'S+off'),
      ),
    )
    expect([row.coverage, row.mean, row.valid, row.reasons]).toEqual([null, null, false, ['not_operating']])
  })
  test('the represented time is cut where the plant stops between two lines', () => {
    const off = operator(ten + 10 * minute + 30_000, { do: 'plant-state', state: 'off' })
    const on = operator(ten, { do: 'plant-state', state: 'running' })
    const readings = everyMinute(30, () => 'S')
    const row = firstBlock(
      running('operator'),
      during(ten, half, [on, ...readings.slice(0, 11), off, ...readings.slice(11)]),
    )
    expect([row.countedMs, row.coverage]).toEqual([10.5 * minute, 1])
  })
  test('where lines carry their own time, what the operator says of the plant holds from the newest line on, whatever the hour it is told', () => {
    const hour = 60 * minute
    const readings = everyMinute(30, () => 'S').map((line) => ({ ...line, atMs: line.atMs + hour }))
    const off = operator(ten + hour + 10 * minute + 30_000, { do: 'plant-state', state: 'off' })
    const on = operator(ten + hour + 30_000, { do: 'plant-state', state: 'running' })
    const row = firstBlock(
      aNightStation({ plantState: { from: 'operator' }, stream: { timeFrom: 'line' } }),
      during(ten + hour, ten + 31 * minute + hour, [
        ...readings.slice(0, 1),
        on,
        ...readings.slice(1, 11),
        off,
        ...readings.slice(11),
      ]),
    )
    expect([row.count, row.countedMs]).toEqual([10, 10 * minute])
  })
  test('a run that starts or ends inside a block keeps the whole block as denominator, to the second', () => {
    const start = ten + 10 * minute + 30_000
    const end = ten + 25 * minute + 15_000
    const row = firstBlock(
      tenSeconds,
      during(
        start,
        end,
        lines(start, 89, 10_000, () => ({ mode: 'S', co: 10 })),
      ),
    )
    expect([row.countedMs, row.coverage]).toEqual([end - start, (end - start) / (30 * minute)])
    expect(row.reasons).toEqual(['coverage_low', 'run_started', 'run_ended'])
  })
  test('two thirds to the millisecond are enough, one millisecond less is not', () => {
    const of = (lastMs: number) =>
      firstBlock(
        aNightStation(),
        during(
          ten,
          ten + 19 * minute + lastMs,
          everyMinute(20, () => 'S'),
        ),
      ).valid
    expect([of(minute), of(minute - 1)]).toEqual([true, false])
  })
})

describe('what a row says of its readings', () => {
  test('standard deviation: n − 1, unweighted', () => {
    // 2, 4, 4, 4, 5, 5, 7, 9: sum of squared deviations 32, so √(32/7); a textbook series, from memory.
    const readings = [2, 4, 4, 4, 5, 5, 7, 9].map((value, number) =>
      co(ten + number * 10_000 + (number > 3 ? 4000 : 0), value),
    )
    expect(firstBlock(tenSeconds, during(ten, half, readings)).standardDeviation).toBeCloseTo(Math.sqrt(32 / 7), 12)
  })
  test('minimum and maximum are single readings, the mean is weighted with time', () => {
    const row = firstBlock(tenSeconds, during(ten, half, [co(ten, 1), co(ten + 12_000, 4), co(ten + 20_000, 7)]))
    expect([row.minimum, row.maximum, row.mean]).toEqual([1, 7, (1 * 12 + 4 * 8 + 7 * 10) / 30])
  })
  test('nothing counted: mean null, never zero', () => {
    const row = firstBlock(tenSeconds, during(ten, half, [co(ten, 5, 'P')]))
    expect([row.mean, row.minimum, row.maximum, row.standardDeviation, row.count, row.valid, row.reasons]).toEqual([
      null,
      null,
      null,
      null,
      0,
      false,
      ['nothing_counted', 'gap'],
    ])
  })
  test('an invalid block keeps its mean', () => {
    const row = firstBlock(tenSeconds, during(ten, half, [co(ten, 5)]))
    expect([row.mean, row.valid, row.reasons]).toEqual([5, false, ['coverage_low', 'gap']])
  })
  test('noise just under zero counts; far under the range it does not', () => {
    const station = aNightStation({ channels: [gas('co', { range: [0, 1000] })], stream: { expectEverySeconds: 10 } })
    expect(
      firstBlock(station, during(ten, half, [co(ten, -50), co(ten + 10_000, -51), co(ten + 20_000, 1001)])).count,
    ).toBe(1)
  })
  test('without the supporting channel in its range a reading does not count', () => {
    const channels = [
      gas('co', { needs: [{ channel: 'cooler', between: [1, 6] }] }),
      gas('cooler', { quantity: 'temperature', unit: 'degC' }),
    ]
    const station = aNightStation({ channels, stream: { expectEverySeconds: 10 } })
    const readings = [5, 9, null].map((cooler, number) => aLine(ten + number * 10_000, { mode: 'S', co: 50, cooler }))
    expect(firstBlock(station, during(ten, half, readings)).count).toBe(1)
  })
})

test('a converted mean uses only readings in which both gas and oxygen count', () => {
  const station = aNightStation({
    channels: [gas('co'), gas('o2')],
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
  })
  const readings = lines(ten, 30, minute, (number) => ({
    mode: 'S',
    co: number < 5 ? 1000 : 100,
    o2: number < 5 ? null : 10,
  }))
  const put = outputsOf(station, during(ten, half, readings))
  const referred = put.blocks('PT30M', 'co', 'at_reference_oxygen')[0]
  expect(put.blocks('PT30M')[0]?.mean).toBeCloseTo((5 * 1000 + 25 * 100) / 30, 10)
  // 40 CFR 60, App. A, Method 19 in form: 100 · (20.9 − 3)/(20.9 − 10), by hand.
  expect(referred?.mean).toBeCloseTo((100 * 17.9) / 10.9, 10)
  expect([referred?.count, referred?.coverage]).toEqual([25, 25 / 30])
})

describe('when a block is final', () => {
  const readings = lines(ten, 30, minute, () => ({ mode: 'S', co: 10 }))
  const finalAt = (station: ReturnType<typeof aNightStation>, from: number) => {
    const ticks = Array.from({ length: 400 }, (_, second) => tick(half + second * 1000))
    const put = outputsOf(station, during(ten, from + 1000 * 1000, [...readings, ...ticks])).put
    return put
      .filter(({ output }) => output.kind === 'block')
      .map(({ eventMs, output }) => [(eventMs - half) / 1000, output.kind === 'block' && output.row.state])
  }
  test('one and a half steps after its end', () => {
    expect(finalAt(aNightStation(), half)[0]).toEqual([90, 'final'])
  })
  test('the run’s end makes all final', () => {
    const put = outputsOf(aNightStation(), during(ten, half - minute, readings.slice(0, 29)))
    expect(put.blocks('PT30M').map(({ state, reasons }) => [state, reasons])).toEqual([['final', ['run_ended']]])
  })
})
