import { describe, expect, test } from 'vitest'
import type { Check } from '../../../../server/engine/amendments.ts'
import { longestHoldMs } from '../../../../server/engine/corrections/longest-hold.ts'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

type Corrections = NonNullable<StationFileInput['corrections']>
const at = (minutes: number): number => ten + minutes * minute

/** Purges of five minutes that begin at the minutes told, with the zeros told; CO 50 in between. */
const purges = (count: number, zeros: Readonly<Record<number, number>>) =>
  lines(ten, count, minute, (number) => {
    const start = Object.keys(zeros)
      .map(Number)
      .findLast((from) => number >= from && number < from + 5)
    return start === undefined ? { mode: 'S', co: 50 } : { mode: 'P', co: zeros[start] ?? 0 }
  })
const station = (corrections: Corrections, more: Partial<StationFileInput> = {}) =>
  aNightStation({ corrections, averaging: { blocks: ['PT30M'] }, ...more } as Parameters<typeof aNightStation>[0])
const finals = (put: ReturnType<typeof outputsOf>, quantity = 'drift_corrected') =>
  put.blocks('PT30M', 'co', quantity).filter(({ state }) => state === 'final')

describe('a zero that moves further than the limit', () => {
  const limited = { zero: 'interpolated', drift: { limitPercent: 5, bases: { co: 100 } } } as const
  // Zeros at minutes 0, 60 and 120: 0, then 6 % of 100 ppm more, then nothing more.
  const night = purges(180, { 0: 0, 60: 6, 120: 6 })
  const put = outputsOf(station(limited), during(ten, at(180), night))

  test('makes averages invalid back to the last good zero, in place of correcting what cannot be trusted', () => {
    expect(finals(put).map(({ valid, reasons }) => [valid, reasons.includes('drift_beyond_limit')])).toEqual([
      [false, true],
      [false, true],
      [true, false],
      [true, false],
      [true, false],
      [true, false],
    ])
  })
  test('makes the value as read invalid too: it is no better', () => {
    expect(finals(put, 'as_read').map(({ valid }) => valid)).toEqual([false, false, true, true, true, true])
  })
  test('is told in the logbook, with the base beside the figure', () => {
    expect(put.of('notice').map(({ code, text }) => [code, text])).toEqual([
      ['drift_beyond_limit', 'the zero of co moved by 6 % of 100 ppm since the one before: beyond the limit'],
    ])
  })
  test('is only remarked where the method lets the run stand', () => {
    const stands = station({ ...limited, drift: { ...limited.drift, beyond: 'remark' } })
    const rows = finals(outputsOf(stands, during(ten, at(180), night)))
    expect(rows.map(({ valid, reasons }) => [valid, reasons.includes('drift_noted')]).slice(0, 3)).toEqual([
      [true, true],
      [true, true],
      [true, false],
    ])
  })
  describe('where zeros are not subtracted at all', () => {
    const kept = (zeros: Readonly<Record<number, number>>) =>
      outputsOf(station({ ...limited, zero: 'none' }), during(ten, at(240), purges(240, zeros)))
    const valid = (put: ReturnType<typeof outputsOf>) => finals(put, 'as_read').map((row) => row.valid)

    test('counts until a zero is good again: what it moved by is still in the values', () => {
      expect(valid(kept({ 0: 0, 60: 6, 120: 6, 180: 1 }))).toEqual([
        ...[false, false, false, false],
        ...[false, false, true, true],
      ])
      expect(valid(kept({ 0: 0, 60: 6, 120: 6 }))).toEqual(Array(8).fill(false))
    })
    test('adds up from the first of the run, however slowly', () => {
      const slow = kept({ 0: 1, 60: 4, 120: 7, 180: 9 })
      expect(valid(slow)).toEqual([true, true, false, false, false, false, false, false])
      expect(slow.of('notice').map(({ text }) => text)).toEqual([
        'the zero of co moved by 6 % of 100 ppm since the first of the run: beyond the limit',
        'the zero of co moved by 8 % of 100 ppm since the first of the run: beyond the limit',
      ])
    })
    test('does not add up where each zero is taken off', () => {
      const last = outputsOf(
        station({ ...limited, zero: 'last' }),
        during(ten, at(240), purges(240, { 0: 1, 60: 4, 120: 7, 180: 9 })),
      )
      expect(valid(last)).toEqual(Array(8).fill(true))
    })
  })
  test('is left as it is where it is too small to be corrected', () => {
    // A drift of 6 ppm, of which up to 10 % of 100 ppm are let be: the first zero stays in force until the next.
    const still = station({
      zero: 'interpolated',
      drift: { limitPercent: 20, correctAbovePercent: 10, bases: { co: 100 } },
    })
    const means = finals(outputsOf(still, during(ten, at(180), night))).map(({ mean }) => mean)
    expect(means.slice(0, 4)).toEqual([50, 50, 44, 44])
  })
})

describe('checks, known before the run is computed', () => {
  const check = (
    kind: Check['kind'],
    minutes: number,
    expected: number,
    response: number,
    direct: number | null = null,
  ) => ({
    id: `${kind}${minutes}`,
    kind,
    channel: 'co',
    performedMs: at(minutes),
    expected,
    response,
    direct,
    gas: 'invented cylinder',
    by: 'A. Tester',
    toldMs: at(200),
  })
  const run = (corrections: Corrections, checks: readonly ReturnType<typeof check>[]) =>
    outputsOf(station(corrections), during(ten, at(90), purges(90, {})), { amendments: { exclusions: [], checks } })

  test('give the span factor of a channel: gas over response, its zero taken off, linear in time between two of them', () => {
    // Sensitivity (402 − 2) / 400 = 1 before, (382 − 2) / 400 = 0.95 after 100 minutes.
    const checks = [check('zero', 0, 0, 2), check('span', 0, 400, 402), check('span', 100, 400, 382)]
    const rows = run({ spanFrom: 'checks' }, checks).blocks('PT30M', 'co', 'drift_corrected')
    const mean = (from: number) =>
      Array.from({ length: 30 }, (_, number) => 50 / (1 - 0.0005 * (from + number))).reduce((sum, one) => sum + one) /
      30
    expect(rows.map((row) => row.mean)).toEqual([0, 30, 60].map((from) => expect.closeTo(mean(from), 9)))
  })
  test('give none where the station file does not ask for it', () => {
    expect(run({}, [check('span', 0, 400, 380)]).blocks('PT30M', 'co', 'drift_corrected')).toEqual([])
  })
  test('between which the instrument drifted beyond the limit make what lies between invalid', () => {
    const corrections = { drift: { limitPercent: 5 }, spanFrom: 'checks' } as const
    const rows = run(corrections, [check('span', 10, 100, 100), check('span', 40, 100, 94.9)]).blocks('PT30M')
    expect(rows.map(({ valid, reasons }) => [valid, reasons])).toEqual([
      [false, ['drift_beyond_limit']],
      [false, ['drift_beyond_limit']],
      [true, []],
    ])
  })
  test('add up from the first of the run where nothing corrects them', () => {
    const checks = [0, 30, 60, 75].map((minutes, place) =>
      check('span', minutes, 100, [100, 97, 94, 96][place] as number),
    )
    const valid = (corrections: Corrections) =>
      run(corrections, checks)
        .blocks('PT30M')
        .map((row) => row.valid)
    expect(valid({ drift: { limitPercent: 5 } })).toEqual([true, false, false])
    expect(valid({ drift: { limitPercent: 5 }, spanFrom: 'checks' })).toEqual([true, true, true])
  })
  test('of a channel from which no zero is taken count as uncorrected, whatever others have', () => {
    const zeros = [0, 20, 40].map((minutes, place) => ({ ...check('zero', minutes, 0, place * 0.4), channel: 'o2' }))
    const both = station(
      { zero: 'last', drift: { limitPercent: 5, bases: { o2: 10 } } },
      { channels: [gas('co'), gas('o2')] },
    )
    const night = lines(ten, 90, minute, () => ({ mode: 'S', co: 50, o2: 6 }))
    const put = outputsOf(both, during(ten, at(90), night), { amendments: { exclusions: [], checks: zeros } })
    // 0.4 and 0.4 vol% more are each within 5 % of 10 vol%; together they are not.
    expect(put.blocks('PT30M', 'o2').map((row) => row.valid)).toEqual([false, false, false])
  })
  test('of which the last drifted too far cast doubt on all that comes after it too', () => {
    const checks = [check('zero', 0, 0, 0), check('zero', 20, 0, 6)]
    expect(
      finals(run({ drift: { limitPercent: 5, bases: { co: 100 } } }, checks), 'as_read').map((row) => row.valid),
    ).toEqual([false, false, false])
  })
  test('that miss their gas by more than the method allows void the run back to the last good one and on to the next', () => {
    const corrections = { drift: { limitPercent: 50, biasPercent: 5 } } as const
    const rows = run(corrections, [check('span', 20, 100, 100), check('span', 65, 100, 94)]).blocks('PT30M')
    expect(rows.map(({ valid, reasons }) => [valid, reasons])).toEqual([
      [false, ['bias_beyond_limit']],
      [false, ['bias_beyond_limit']],
      [false, ['bias_beyond_limit']],
    ])
    const good = run(corrections, [check('span', 0, 100, 94), check('span', 30, 100, 99)]).blocks('PT30M')
    expect(good.map(({ valid }) => valid)).toEqual([false, true, true])
  })
  test('are held against what the analyser itself showed, where that was taken', () => {
    const corrections = { drift: { limitPercent: 50, biasPercent: 5 } } as const
    expect(
      run(corrections, [check('span', 20, 100, 94, 97)])
        .blocks('PT30M')
        .every(({ valid }) => valid),
    ).toBe(true)
  })
  test('change nothing of a run that does not know of them', () => {
    const told = outputsOf(station({ spanFrom: 'checks' }), during(ten, at(90), purges(90, {})))
    expect(told.blocks('PT30M', 'co', 'drift_corrected')).toEqual([])
  })
})

describe('averages that wait for a zero', () => {
  test('are final with the last one, and say so, where the run ends first', () => {
    const put = outputsOf(station({ zero: 'interpolated' }), during(ten, at(60), purges(60, { 0: 2 })))
    expect(finals(put).map(({ mean, reasons }) => [mean, reasons])).toEqual([
      [48, ['zero_not_followed']],
      [48, ['zero_not_followed']],
    ])
  })
  test('do not wait longer than a day', () => {
    const minutes = longestHoldMs / minute + 90
    const put = outputsOf(station({ zero: 'interpolated' }), during(ten, at(minutes), purges(minutes, { 0: 2 })))
    const first = put.put.find(
      ({ output }) =>
        output.kind === 'block' && output.row.state === 'final' && output.row.quantity === 'drift_corrected',
    )
    // The half-hour to minute 30 stands once its last minute is a day old, and that minute is told one and a half steps later.
    expect(first && (first.eventMs - ten) / minute).toBe(30 + longestHoldMs / minute + 1)
    expect(finals(put)[0]?.reasons).toEqual(['zero_not_followed'])
  })
  test('carry on their rolling averages', () => {
    const rolling = aNightStation({
      corrections: { zero: 'interpolated' },
      averaging: { blocks: ['PT30M'], rolling: ['PT10M'] },
    })
    const put = outputsOf(rolling, during(ten, at(100), purges(100, { 0: 2, 60: 8 })))
    const at50 = put.rolling('PT10M', 'co', 'drift_corrected').filter(({ endMs }) => endMs === at(50))
    // Zeros 2 at minute 2 and 8 at 62: 2 + 6 · (44.5 − 2) / 60 in the middle of minutes 40 … 49.
    expect(at50.map(({ state, mean }) => [state, mean])).toEqual([
      ['provisional', 48],
      ['final', expect.closeTo(50 - 2 - 0.1 * 42.5, 9)],
    ])
  })
})

describe('a purge of air that is not clean', () => {
  const channels = [gas('co'), gas('o2')]
  const dirty = (co: number, o2: number, mode = 'P') =>
    lines(ten, 30, minute, (number) => (number < 5 ? { mode, co, o2 } : { mode: 'S', co: 50, o2: 6 }))
  const read = (corrections: Corrections, night: ReturnType<typeof dirty>) =>
    outputsOf(station({ zero: 'last', ...corrections }, { channels }), during(ten, at(30), night))

  test('is noted where its oxygen is not that of air, and used all the same unless the station says otherwise', () => {
    const put = read({}, dirty(2, 20.4))
    expect(put.of('notice').map(({ text }) => text)).toEqual([
      'the purge was not clean: o2 read 20.4 vol%, not within 0.3 of the air’s 20.95; its zeros are used all the same',
    ])
    expect(put.of('zero').map(({ channel, used, clean }) => [channel, used, clean])).toEqual([
      ['co', true, false],
      ['o2', false, false],
    ])
  })
  test('gives no zero where the station skips it', () => {
    const put = read({ cleanPurge: { floors: { co: 10 }, unclean: 'skip' } }, dirty(12, 20.9))
    expect(put.of('notice')[0]?.text).toBe('the purge was not clean: co read 12 ppm, more than 10; it gives no zero')
    expect(put.blocks('PT30M', 'co', 'drift_corrected')[0]).toMatchObject({ mean: 50, reasons: ['no_zero_yet'] })
  })
  test('a zero gas without oxygen is clean', () => {
    expect(read({}, dirty(2, 0, 'Z')).of('notice')).toEqual([])
  })
})

describe('averages of blocks that waited for a zero', () => {
  test('are formed once, of what became final', () => {
    const hours = aNightStation({
      corrections: { zero: 'interpolated' },
      averaging: {
        blocks: ['PT30M'],
        ofBlocks: [{ average: 'PT2H', of: 'PT30M', window: 'fixed', valid: { atLeastValid: 1 } }],
      },
    })
    const put = outputsOf(hours, during(ten, at(180), purges(180, { 0: 2, 60: 8, 120: 2 })))
    const told = (average: string) => put.blocks(average, 'co', 'drift_corrected')
    const halves = told('PT30M').filter(({ state, startMs }) => state === 'final' && startMs < at(120))
    const mean = halves.reduce((sum, row) => sum + (row.mean ?? Number.NaN), 0) / 4
    expect(told('PT2H').map(({ startMs, state }) => [(startMs - ten) / minute, state])).toEqual([
      [0, 'final'],
      [120, 'final'],
    ])
    expect(told('PT2H')[0]?.mean).toBeCloseTo(mean, 9)
    // By hand, minutes 5 … 59 and 65 … 119 between zeros 2, 8 and 2 at minutes 2, 62 and 122: about 50 − 5 in the middle.
    expect(told('PT2H')[0]?.mean).toBeCloseTo(45, 0)
  })
})
