import { describe, expect, test } from 'vitest'
import { createEngine } from '../../../../server/engine/state.ts'
import { step } from '../../../../server/engine/step.ts'
import {
  aLine,
  aNightStation,
  besideStream,
  clockTime,
  during,
  gas,
  lines,
  minute,
  outputsOf,
  run,
  ten,
} from '../../../support/engine-night.ts'

const hourly = (validity: Parameters<typeof aNightStation>[0]) => aNightStation(validity)
const s = (count: number, from = ten, mode: (number: number) => string | null = () => 'S') =>
  lines(from, count, minute, (number) => {
    const word = mode(number)
    return word === null ? null : { mode: word, co: 100 + number }
  })

describe('the blocks of a run', () => {
  test('a run inside two half-hours leaves two partial blocks with their reasons', () => {
    const rows = outputsOf(
      aNightStation(),
      during(ten + 20 * minute, ten + 40 * minute, s(20, ten + 20 * minute)),
    ).blocks('PT30M')
    expect(rows.map(({ startMs, reasons }) => [clockTime(startMs), reasons])).toEqual([
      ['10:00:00', ['coverage_low', 'run_started']],
      ['10:30:00', ['coverage_low', 'run_ended']],
    ])
  })
  test('a run that ends with a block ends no block early', () => {
    const rows = outputsOf(aNightStation(), during(ten, ten + 60 * minute, s(60))).blocks('PT30M')
    expect(rows.map(({ reasons, valid }) => [reasons, valid])).toEqual([
      [[], true],
      [[], true],
    ])
  })
  test('counted from the run’s start: blocks begin with it', () => {
    const start = ten + 7 * minute + 30_000
    const rows = outputsOf(
      aNightStation({ averaging: { blocks: ['PT30M'], align: 'run' } }),
      during(start, start + 60 * minute, s(60, start)),
    ).blocks('PT30M')
    expect(rows.map(({ startMs, count, reasons }) => [clockTime(startMs), count, reasons])).toEqual([
      ['10:07:30', 30, []],
      ['10:37:30', 30, []],
    ])
  })
  test('keyed by the line, a run counted from its start begins with the first stamp', () => {
    const station = aNightStation({ averaging: { blocks: ['PT30M'], align: 'run' }, stream: { timeFrom: 'line' } })
    const own = ten - 3 * minute
    const readings = Array.from({ length: 30 }, (_, number) =>
      aLine(ten + number * minute, { mode: 'S', co: 1 }, { own: own + number * minute }),
    )
    expect(
      outputsOf(station, during(ten, ten + 30 * minute, readings))
        .blocks('PT30M')
        .map(({ startMs }) => clockTime(startMs)),
    ).toEqual(['09:57:00'])
  })
  test('blocks of hours in which no line came are there, empty', () => {
    const rows = outputsOf(
      aNightStation(),
      during(ten, ten + 120 * minute, [...s(30), ...s(30, ten + 90 * minute)]),
    ).blocks('PT30M')
    expect(rows.map(({ count, mean }) => [count, mean === null])).toEqual([
      [30, false],
      [0, true],
      [0, true],
      [30, false],
    ])
  })
  test('every half-hour that holds part of a gap says so, and no other', () => {
    const rows = outputsOf(
      aNightStation({ averaging: { blocks: ['PT30M'] } }),
      during(ten, ten + 150 * minute, [...s(30), ...s(80, ten + 70 * minute)]),
    ).blocks('PT30M')
    // Lines up to 10:29 (which stands for up to 10:30) and again from 11:10.
    expect(rows.map(({ reasons }) => reasons.includes('gap'))).toEqual([false, true, true, false, false])
  })
  test('a gap that ends with a half-hour is not of the next', () => {
    const rows = outputsOf(
      aNightStation(),
      during(ten, ten + 60 * minute, [...s(15), ...s(30, ten + 30 * minute)]),
    ).blocks('PT30M')
    expect(rows.map(({ reasons }) => reasons)).toEqual([['coverage_low', 'gap'], []])
  })
  test('two runs in one block do not mix', () => {
    const rows = outputsOf(aNightStation(), [
      ...during(ten, ten + 10 * minute, s(10)),
      ...during(ten + 15 * minute, ten + 30 * minute, s(15, ten + 15 * minute)),
    ]).blocks('PT30M')
    expect(rows.map(({ count, reasons }) => [count, reasons])).toEqual([
      [10, ['coverage_low', 'run_ended']],
      [15, ['coverage_low', 'run_started']],
    ])
  })
})

describe('rolling averages', () => {
  const station = (more: Parameters<typeof aNightStation>[0] = {}) =>
    aNightStation({ averaging: { blocks: ['PT1M'], rolling: ['PT1H'] }, ...more })
  test('none until the run is as old as the window', () => {
    const rows = outputsOf(station(), during(ten, ten + 61 * minute, s(61))).rolling('PT1H')
    expect(rows.map(({ endMs }) => clockTime(endMs))).toEqual(['11:00:00', '11:01:00'])
  })
  test('a minute that the run did not fill is not of the window', () => {
    const start = ten + 30_000
    const rows = outputsOf(station(), during(start, ten + 62 * minute, s(62, start))).rolling('PT1H')
    expect(rows.map(({ endMs }) => clockTime(endMs))).toEqual(['11:01:00', '11:02:00'])
  })
  test('each is the mean, count, extremes and spread of its last hour, as counted anew', () => {
    const values = Array.from({ length: 300 }, (_, number) =>
      number % 7 === 3 ? null : Math.round(1000 * Math.sin(number) ** 2),
    )
    const readings = values.flatMap((value, number) =>
      value === null
        ? [aLine(ten + number * minute, { mode: 'P', co: 5 })]
        : [aLine(ten + number * minute, { mode: 'S', co: value })],
    )
    const rows = outputsOf(station(), during(ten, ten + 300 * minute, readings)).rolling('PT1H')
    expect(rows).toHaveLength(241)
    for (const [place, row] of rows.entries()) {
      const counted = values.slice(place, place + 60).filter((value) => value !== null)
      const mean = counted.reduce((sum, value) => sum + value, 0) / counted.length
      const spread = Math.sqrt(counted.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (counted.length - 1))
      expect([row.count, row.minimum, row.maximum, row.countedMs]).toEqual([
        counted.length,
        Math.min(...counted),
        Math.max(...counted),
        counted.length * minute,
      ])
      expect(row.mean).toBeCloseTo(mean, 9)
      expect(row.standardDeviation).toBeCloseTo(spread, 9)
    }
  })
  test('the same validity rule: an hour with an empty quarter is invalid by quadrants, wherever it begins', () => {
    const quadrants = station({
      averaging: {
        blocks: ['PT1M'],
        rolling: ['PT1H'],
        validity: { rule: 'quadrants', purgeIsQualityAssurance: false },
      },
    })
    // No line for 20 minutes from 10:30 on: the windows from 10:00 to 10:20 have an empty quarter only where 15 minutes in a row from a quarter's edge are missing.
    const rows = outputsOf(
      quadrants,
      during(
        ten,
        ten + 70 * minute,
        s(70, ten, (number) => (number >= 30 && number < 50 ? null : 'S')),
      ),
    ).rolling('PT1H')
    // Quarter edges lie at window start + 15, 30, 45 min: empty while start + 30 ≥ 10:30 and start + 45 ≤ 10:50, so for starts 10:00 to 10:05.
    expect(rows.map(({ valid }) => valid)).toEqual(
      [true, true, true, true, true, true, false, false, false, false, false].map((_, place) => place > 5),
    )
  })
  test('they are final one and a half steps after their end', () => {
    const put = outputsOf(station(), during(ten, ten + 63 * minute, s(63)))
    const first = put.put.find(({ output }) => output.kind === 'rolling')
    expect(clockTime(first?.eventMs ?? 0)).toBe('11:02:00') // due at 11:01:30; the next event after it brings it
  })
})

describe('validity rules', () => {
  // Source of the quadrants: 40 CFR 60.13(h)(2)(i), (iii).
  const quadrants = hourly({
    averaging: { blocks: ['PT30M', 'PT1H'], validity: { rule: 'quadrants', purgeIsQualityAssurance: false } },
  })
  const hour = (mode: (number: number) => string | null, station = quadrants) =>
    outputsOf(station, during(ten, ten + 60 * minute, s(60, ten, mode))).blocks('PT1H')[0]
  test('one reading in each quarter makes the hour', () => {
    expect(hour((number) => (number % 15 === 7 ? 'S' : 'R'))).toMatchObject({ valid: true, count: 4, reasons: [] })
  })
  test('a quarter without one spoils it', () => {
    expect(hour((number) => (number % 15 === 7 && number !== 22 ? 'S' : 'R'))).toMatchObject({
      valid: false,
      reasons: ['quadrant_empty'],
    })
  })
  test('with a check by calibration gas two readings fifteen minutes apart do', () => {
    expect(hour((number) => (number === 5 || number === 20 ? 'S' : 'C'))).toMatchObject({ valid: true, count: 2 })
    expect(hour((number) => (number === 5 || number === 19 ? 'S' : 'C'))).toMatchObject({
      valid: false,
      reasons: ['points_too_close'],
    })
  })
  test('only quarters in which the plant ran are asked for', () => {
    const station = hourly({
      plantState: { from: 'status' },
      averaging: { blocks: ['PT1H'], validity: { rule: 'quadrants', purgeIsQualityAssurance: false } },
    })
    expect(hour((number) => (number < 30 ? 'S+running' : 'R+off'), station)).toMatchObject({ valid: true, count: 30 })
  })
  test('half-hours take the fraction', () => {
    const rows = outputsOf(
      quadrants,
      during(
        ten,
        ten + 60 * minute,
        s(60, ten, (number) => (number % 30 < (number < 30 ? 20 : 19) ? 'S' : 'R')),
      ),
    ).blocks('PT30M')
    expect(rows.map(({ valid }) => valid)).toEqual([true, false])
  })
  test('so many counted minutes, whatever the length', () => {
    const station = hourly({ averaging: { blocks: ['PT1H'], validity: { rule: 'minutes', minimum: 20 } } })
    expect(hour((number) => (number < 20 ? 'S' : 'P'), station)).toMatchObject({ valid: true })
    expect(hour((number) => (number < 19 ? 'S' : 'P'), station)).toMatchObject({
      valid: false,
      reasons: ['minutes_short'],
    })
  })
  test('a referred mean is invalid where its oxygen is', () => {
    const station = hourly({
      channels: [gas('co'), gas('o2')],
      averaging: { blocks: ['PT30M'] },
      conversions: { referenceOxygen: 3 },
    })
    const readings = lines(ten, 30, minute, (number) => ({ mode: 'S', co: 100, o2: number < 10 ? 8 : null }))
    const row = outputsOf(station, during(ten, ten + 30 * minute, readings)).blocks(
      'PT30M',
      'co',
      'at_reference_oxygen',
    )[0]
    expect([row?.valid, row?.reasons]).toEqual([false, ['coverage_low', 'oxygen_invalid']])
  })
  test('a running block calls its oxygen invalid only where the oxygen counted less than the gas', () => {
    const station = hourly({
      channels: [gas('co'), gas('o2')],
      averaging: { blocks: ['PT30M'] },
      conversions: { referenceOxygen: 3 },
    })
    const openReasons = (o2: (number: number) => number | null) => {
      const engine = createEngine(station)
      const readings = lines(ten, 12, minute, (number) => ({ mode: 'S', co: 100, o2: o2(number) }))
      for (const event of [run('start', ten), ...readings]) step(engine, event)
      const rows = engine.streams.flatMap((stream) => stream.averages.openRows())
      return rows.find(({ channel, quantity }) => channel === 'co' && quantity === 'at_reference_oxygen')?.reasons
    }
    expect(openReasons(() => 8)).toEqual(['coverage_low'])
    expect(openReasons((number) => (number < 5 ? 8 : null))).toEqual(['coverage_low', 'oxygen_invalid'])
  })
})

describe('values of two streams', () => {
  const channels = [gas('co'), gas('o2', { stream: 'duct' })]
  const station = aNightStation({
    channels,
    beside: [besideStream('duct', channels)],
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
  })
  const both = (start: number, count: number, oxygenFrom = 0) =>
    Array.from({ length: count }, (_, number) => number).flatMap((number) => [
      aLine(start + number * minute, { mode: 'S', co: 100 }),
      ...(number < oxygenFrom ? [] : [aLine(start + number * minute, { mode: 'S', o2: 10 }, { stream: 'duct' })]),
    ])
  test('are joined by their minute means', () => {
    const row = outputsOf(station, during(ten, ten + 30 * minute, both(ten, 30))).blocks(
      'PT30M',
      'co',
      'at_reference_oxygen',
    )[0]
    expect(row?.mean).toBeCloseTo((100 * 17.9) / 10.9, 10)
    expect([row?.count, row?.coverage, row?.valid]).toEqual([30, 1, true])
  })
  test('count only in minutes in which both count', () => {
    const row = outputsOf(station, during(ten, ten + 30 * minute, both(ten, 30, 12))).blocks(
      'PT30M',
      'co',
      'at_reference_oxygen',
    )[0]
    expect([row?.countedMs, row?.valid]).toEqual([18 * minute, false])
  })
  test('a run that starts inside a block says so', () => {
    const start = ten + 10_000
    const row = outputsOf(station, during(start, ten + 30 * minute, both(start, 29))).blocks(
      'PT30M',
      'co',
      'at_reference_oxygen',
    )[0]
    expect(row?.reasons).toContain('run_started')
  })
})
