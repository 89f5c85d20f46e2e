import { describe, expect, test } from 'vitest'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
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
  ten,
  tick,
} from '../../../support/engine-night.ts'

type Signal = NonNullable<NonNullable<StationFileInput['phases']>['signal']>
const rules: Signal['rules'] = [
  { channel: 'o2', enterAbove: 20, leaveBelow: 19 },
  { channel: 'co', enterBelow: 20 },
]
const recognising = (signal: Partial<Signal> = {}, stepSeconds = 10) =>
  aNightStation({
    channels: [gas('co', { t95Seconds: 40 }), gas('o2', { t95Seconds: 20 })],
    stream: { expectEverySeconds: stepSeconds },
    phases: {
      from: ['signal'],
      otherwise: 'measure',
      settle: { seconds: 0 },
      signal: { rules, dwellSeconds: 30, backDate: false, ...signal },
    },
  })

/** A line each step: flue gas, but air from line `from` on up to line `to`. */
const night = (from: number, to: number, stepSeconds = 10, count = 1800 / stepSeconds) =>
  lines(ten, count, stepSeconds * 1000, (number) =>
    number >= from && number < to ? { co: 2, o2: 20.9 } : { co: 100, o2: 5 },
  )
const purges = (station: ReturnType<typeof recognising>, events: ReturnType<typeof night>) => {
  const put = outputsOf(station, during(ten, ten + 30 * minute, events))
  const spans = put.of('phase-span').filter(({ phase, endMs }) => phase === 'purge' && endMs !== null)
  return {
    spans: spans.map(({ startMs, endMs, inferred }) => [clockTime(startMs), clockTime(endMs ?? 0), inferred]),
    count: put.blocks('PT30M')[0]?.count,
    mean: put.blocks('PT30M')[0]?.mean,
  }
}

describe('a purge recognised from the gas itself', () => {
  test('begins with the first reading of the stretch, though it is known only after the dwell', () => {
    expect(purges(recognising(), night(30, 60))).toEqual({
      spans: [['10:05:00', '10:10:00', true]],
      count: 150,
      mean: 100,
    })
  })
  test('where it is back-dated, it begins earlier by the slowest t95, to the reading', () => {
    expect(purges(recognising({ backDate: true }), night(30, 60))).toEqual({
      spans: [['10:04:20', '10:10:00', true]],
      count: 146,
      mean: 100,
    })
  })
  test.each([7, 11, 45])(
    'the dwell may be no multiple of the step (%d s): no reading of air slips into the mean',
    (stepSeconds) => {
      const from = 20
      const put = purges(
        recognising({ backDate: true }, stepSeconds),
        night(from, 30, stepSeconds, Math.floor(1800 / stepSeconds)),
      )
      const onset = ten + from * stepSeconds * 1000 - 40_000
      expect(put.spans[0]?.[0]).toBe(clockTime(onset))
      // Lines whose time lies before the onset, or from the leave on.
      expect(put.count).toBe(Math.ceil((from * stepSeconds - 40) / stepSeconds) + Math.floor(1800 / stepSeconds) - 30)
    },
  )
  test('a stretch shorter than the dwell is none', () => {
    expect(purges(recognising(), night(30, 33)).spans).toEqual([])
  })
  test('all rules must hold: air that still carries CO is none', () => {
    const events = lines(ten, 180, 10_000, (number) =>
      number >= 30 && number < 60 ? { co: 25, o2: 20.9 } : { co: 100, o2: 5 },
    )
    expect(purges(recognising(), events).spans).toEqual([])
  })
  test('it is left when any rule fails for the dwell; a value between the two thresholds leaves nothing', () => {
    const events = lines(ten, 180, 10_000, (number) =>
      number < 30 || number >= 60 ? { co: 100, o2: 5 } : { co: 2, o2: number > 40 && number < 50 ? 19.5 : 20.9 },
    )
    expect(purges(recognising(), events).spans).toEqual([['10:05:00', '10:10:00', true]])
  })
  test('the live trace does not wait until the phase is certain', () => {
    const events = night(30, 60)
    const put = outputsOf(
      recognising({ backDate: true }),
      during(ten, ten + 30 * minute, [...events.slice(0, 31), tick(ten + 305_000), ...events.slice(31)]),
      { listening: true },
    )
    const readings = put.put.filter(({ output }) => output.kind === 'reading')
    expect(readings.length).toBe(180)
    expect(readings.filter(({ output, eventMs }) => output.kind !== 'reading' || output.atMs !== eventMs)).toEqual([])
  })
  test('a block is final once no purge can be back-dated into it any more: dwell, slowest t95 and the line that ends the dwell', () => {
    const ticks = Array.from({ length: 120 }, (_, second) => tick(ten + 30 * minute + second * 1000))
    const put = outputsOf(recognising({ backDate: true }), during(ten, ten + 60 * minute, [...night(30, 60), ...ticks]))
    const [first] = put.put.filter(({ output }) => output.kind === 'block')
    expect(((first?.eventMs ?? 0) - ten - 30 * minute) / 1000).toBe(30 + 40 + 15)
  })
})

describe('of several instruments', () => {
  /** Two analysers and a flow meter; the inlet draws in air from 10:10 on, the outlet from 10:20 on, five minutes each. */
  const spans = (rules: Signal['rules']) => {
    const channels = [
      gas('inlet', { species: 'O2', unit: 'vol%' }),
      gas('outlet', { species: 'O2', unit: 'vol%', stream: 'behind' }),
      gas('duct', { quantity: 'flow', unit: 'm3/h', stream: 'flow' }),
    ]
    const stream = { expectEverySeconds: 10 }
    const station = aNightStation({
      channels,
      stream,
      beside: [besideStream('behind', channels, stream), besideStream('flow', channels, stream)],
      phases: {
        from: ['signal'],
        otherwise: 'measure',
        settle: { seconds: 0 },
        signal: { rules, dwellSeconds: 20, backDate: false },
      },
    })
    const air = (at: number, from: number) => (at >= ten + from * minute && at < ten + (from + 5) * minute ? 20.9 : 5)
    const told = Array.from({ length: 180 }, (_, number) => ten + number * 10_000).flatMap((at) => [
      aLine(at, { inlet: air(at, 10) }),
      aLine(at, { outlet: air(at, 20) }, { stream: 'behind' }),
      aLine(at, { duct: 1000 }, { stream: 'flow' }),
    ])
    const put = outputsOf(station, during(ten, ten + 30 * minute, told)).of('phase-span')
    return put
      .filter(({ phase, endMs }) => phase === 'purge' && endMs !== null)
      .map(({ stream: id, startMs, endMs }) => [id, clockTime(startMs), clockTime(endMs ?? 0)])
  }
  const rule = (channel: string) => ({ channel, enterAbove: 20, leaveBelow: 19 })

  test('each is judged by the rules of its own channels, one without any by all of them', () => {
    // Both draw in air at no time, so that the flow meter never follows.
    expect(spans([rule('inlet'), rule('outlet')])).toEqual([
      ['main', '10:10:00', '10:15:00'],
      ['behind', '10:20:00', '10:25:00'],
    ])
  })
  test('one whose channels no rule names follows the others, as cells behind one probe', () => {
    expect(spans([rule('inlet')]).map(([id, start]) => [id, start])).toEqual([
      ['main', '10:10:00'],
      ['behind', '10:10:00'],
      ['flow', '10:10:00'],
    ])
  })
})
