import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Piece } from '../../protocols/instrument/reader.ts'
import type { EngineEvent } from '../../server/engine/events.ts'
import type { EngineOutput } from '../../server/engine/outputs.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { createEngine } from '../../server/engine/state.ts'
import { step } from '../../server/engine/step.ts'
import { LineSplitter } from '../../server/sources/line-splitter.ts'
import {
  aLine,
  aNightStation,
  besideStream,
  gas,
  link,
  minute,
  operator,
  outputsOf,
  run,
  ten,
  tick,
} from '../support/engine-night.ts'

const channels = [
  gas('co', { t95Seconds: 40, range: [0, 500] }),
  gas('o2', { t95Seconds: 20 }),
  gas('co2', { unit: 'vol%', needs: [{ channel: 'o2', between: [0, 19] }] }),
]
const common = {
  channels,
  corrections: { zero: 'last' as const },
  conversions: { referenceOxygen: 11, ambientOxygen: 20.95 },
  plantState: { from: 'status' as const },
  averaging: {
    blocks: ['PT1M', 'PT10M', 'PT1H'],
    rolling: ['PT10M', 'PT1H'],
    ofBlocks: [
      {
        average: 'PT30M',
        of: 'PT10M',
        window: 'rolling' as const,
        hours: 'operating' as const,
        valid: { share: '2/3' },
      },
      { average: 'PT30M', of: 'PT10M', valid: { atMostInvalid: 1 } },
    ],
    run: { rule: 'fraction' as const, minimum: '1/2' },
    validity: { rule: 'quadrants' as const, purgeIsQualityAssurance: true },
  },
  results: { uncertainty: 'ignore' as const },
  limits: [
    {
      channel: 'co',
      of: 'reading' as const,
      value: 200,
      unit: 'ppm' as const,
      onDelaySeconds: 45,
      offDelaySeconds: 20,
    },
    { channel: 'co', of: 'block' as const, average: 'PT10M', value: 150, unit: 'ppm' as const },
  ],
}
const signal = { rules: [{ channel: 'o2', enterAbove: 20, leaveBelow: 19 }], dwellSeconds: 25, backDate: true }
/** Stations that differ in whence phases and times come. */
const stations: readonly (readonly [string, StationFile])[] = [
  [
    'phases from status and operator',
    aNightStation({
      ...common,
      stream: { expectEverySeconds: 10 },
      phases: { from: ['status', 'operator'], settle: { timesT95: 2 } },
    }),
  ],
  [
    'zeros interpolated, cells that answer to each other',
    aNightStation({
      ...common,
      corrections: {
        zero: 'interpolated',
        crossSensitivity: { co: { by: { o2: 0.1 } } },
        drift: { limitPercent: 5, of: 'range', correctAbovePercent: 1 },
      },
      stream: { expectEverySeconds: 10 },
      phases: { from: ['status', 'operator'], settle: { timesT95: 2 } },
    }),
  ],
  [
    'times from the lines',
    aNightStation({
      ...common,
      stream: { expectEverySeconds: 10, timeFrom: 'line' },
      phases: { from: ['status'], otherwise: 'measure', settle: { timesT95: 2 } },
    }),
  ],
  [
    'phases from signals, stamps at the end',
    aNightStation({
      ...common,
      stream: { expectEverySeconds: 10, stamp: 'end' },
      phases: { from: ['operator', 'signal'], otherwise: 'measure', signal, settle: { timesT95: 2 } },
    }),
  ],
  [
    'phases from a schedule, blocks from the run’s start',
    aNightStation({
      ...common,
      averaging: { ...common.averaging, align: 'run' },
      stream: { expectEverySeconds: 10 },
      phases: {
        from: ['schedule'],
        otherwise: 'measure',
        schedule: [{ phase: 'purge', everyMinutes: 7, offsetMinutes: 2, lengthSeconds: 95 }],
        settle: { timesT95: 2 },
      },
    }),
  ],
]

const split = [gas('co', { t95Seconds: 40 }), gas('o2', { stream: 'duct', t95Seconds: 20 })]
const onlyReferred = [
  {
    channel: 'co',
    of: 'block' as const,
    average: 'PT1M',
    value: 100,
    unit: 'mg/m3' as const,
    referenceOxygen: 11,
    onDelaySeconds: 90,
  },
]
const twoStreams = aNightStation({
  channels: split,
  conversions: common.conversions,
  averaging: { blocks: ['PT1M', 'PT10M'], rolling: ['PT10M'] },
  limits: onlyReferred,
  stream: { expectEverySeconds: 10 },
  beside: [besideStream('duct', split, { expectEverySeconds: 10 })],
  phases: { from: ['status', 'operator'], settle: { timesT95: 2 } },
})

const number = (values: readonly (number | string)[]) => fc.constantFrom<number | string | null>(...values, null)
const happening = fc.record({
  afterMs: fc.oneof(
    { weight: 12, arbitrary: fc.constantFrom(9000, 10_000, 10_000, 11_000) },
    { weight: 2, arbitrary: fc.constantFrom(0, 1, 15_000, 15_001, 60_000) },
    { weight: 1, arbitrary: fc.constantFrom(200_000, 900_000) },
  ),
  what: fc.oneof(
    { weight: 40, arbitrary: fc.constant('line' as const) },
    {
      weight: 1,
      arbitrary: fc.constantFrom(
        'end' as const,
        'start' as const,
        'reconnect' as const,
        'purge' as const,
        'measure' as const,
      ),
    },
  ),
  mode: fc.oneof(
    { weight: 20, arbitrary: fc.constantFrom('S', 'S+running') },
    { weight: 3, arbitrary: fc.constantFrom('P', 'Z', 'C', 'R', 'F', 'S+wet', 'S+off', 'what') },
  ),
  co: number([-30, 0, 5, 100, 300, 501, 'garbage', 1e300]),
  o2: number([5, 5, 11, 18.9, 20.9, 20.9, 20.95]),
  co2: number([0, 9]),
  ownMs: fc.constantFrom(0, 0, 0, 0, 0, 0, 0, -40_000),
})
/** A night of one run or several; each stretch of happenings repeats, so that phases hold for a while. */
const nights = fc
  .array(fc.tuple(happening, fc.integer({ min: 1, max: 12 })), { minLength: 1, maxLength: 40 })
  .map((stretches) => {
    const events: EngineEvent[] = [run('start', ten)]
    let atMs = ten
    for (const [{ afterMs, what, ownMs, ...values }, times] of stretches) {
      for (let time = 0; time < (what === 'line' ? times : 1); time++) {
        atMs += time === 0 ? afterMs : 10_000
        if (what === 'line') events.push(aLine(atMs, values, { own: atMs + ownMs }))
        else if (what === 'start' || what === 'end') events.push(run(what, atMs))
        else if (what === 'reconnect') events.push(link(atMs, 'lost'), link(atMs, 'open'))
        else events.push(operator(atMs, { do: 'mark-phase', stream: 'main', phase: what }))
      }
    }
    events.push(run('end', atMs + 3000))
    return onlyWholeRuns(events)
  })

/** A run starts only where none is on, and ends only where one is. */
function onlyWholeRuns(events: readonly EngineEvent[]): EngineEvent[] {
  let isOn = false
  return events.filter((event) => {
    if (event.kind !== 'run') return true
    const fits = (event.change === 'start') !== isOn
    if (fits) isOn = event.change === 'start'
    return fits
  })
}

const text = (outputs: readonly EngineOutput[]): string[] =>
  outputs.map((output) =>
    JSON.stringify(output, (_, value) =>
      typeof value === 'number' && !Number.isFinite(value) ? String(value) : value,
    ),
  )
const runs = { numRuns: 40 }

/** Every other line becomes the duct's. */
const shared = nights.map((events) =>
  events.map((event, place) => (event.kind === 'line' && place % 2 ? { ...event, stream: 'duct' } : event)),
)

/** The same events with passing time put in after some of them, never past the next. */
function withTicks(events: readonly EngineEvent[], places: readonly (readonly [number, number])[]): EngineEvent[] {
  const after = new Map(places.map(([place, ms]) => [place % events.length, ms]))
  return events.flatMap((event, place) => {
    const ms = after.get(place)
    const next = events[place + 1]
    return ms === undefined || !next ? [event] : [event, tick(Math.min(event.atMs + ms, next.atMs))]
  })
}
const places = fc.array(fc.tuple(fc.nat(), fc.constantFrom(0, 1, 4999, 5000, 5001, 60_000)))

test.each([
  ['no zeros', twoStreams],
  ['interpolated zeros', { ...twoStreams, corrections: { ...twoStreams.corrections, zero: 'interpolated' as const } }],
])('averages across two streams, %s: events of passing time change no output', (_, station) => {
  fc.assert(
    fc.property(shared, places, (events, at) => {
      expect(text(outputsOf(station, withTicks(events, at)).all)).toEqual(text(outputsOf(station, events).all))
    }),
    runs,
  )
})

describe.each(stations)('%s', (_, station) => {
  test('events of passing time, wherever they are put in, change no output', () => {
    fc.assert(
      fc.property(nights, places, (events, at) => {
        expect(text(outputsOf(station, withTicks(events, at)).all)).toEqual(text(outputsOf(station, events).all))
      }),
      runs,
    )
  })

  test('blocks of a run tile it without gap or overlap, and every number is finite', () => {
    fc.assert(
      fc.property(nights, (events) => {
        const put = outputsOf(station, events)
        const rows = put.all.flatMap((output) =>
          output.kind === 'block' || output.kind === 'rolling' ? [output.row] : [],
        )
        const isNumber = (value: number | null) => value === null || Number.isFinite(value)
        expect(
          rows.filter(
            (row) => ![row.mean, row.minimum, row.maximum, row.standardDeviation, row.coverage].every(isNumber),
          ),
        ).toEqual([])
        expect(rows.filter(({ coverage }) => coverage !== null && !(coverage >= 0 && coverage <= 1))).toEqual([])
        expect(
          rows.filter(({ countedMs, startMs, endMs }) => !(countedMs >= 0 && countedMs <= endMs - startMs)),
        ).toEqual([])
        expect(rows.filter(({ mean, count, valid }) => (mean === null ? valid : count === 0))).toEqual([])
        const firstRunEnd = events.findIndex((event) => event.kind === 'run' && event.change === 'end')
        for (const average of ['PT1M', 'PT10M', 'PT1H']) {
          const own = outputsOf(station, events.slice(0, firstRunEnd + 1))
            .blocks(average)
            .filter(({ state }) => state === 'final')
          expect(own.slice(1).map(({ startMs }) => startMs)).toEqual(own.slice(0, -1).map(({ endMs }) => endMs))
        }
      }),
      runs,
    )
  })

  test('a replay gives what the live engine put out at the time, each reading listened to or not', () => {
    fc.assert(
      fc.property(nights, (events) => {
        const engine = createEngine(station, { listening: true })
        const live = events.flatMap((event) =>
          text(step(engine, structuredClone(event))[1].filter(({ kind }) => kind !== 'reading')),
        )
        expect(text(outputsOf(station, events).all)).toEqual(live)
      }),
      { numRuns: 20 },
    )
  })
})

test('the averages do not depend on where the bytes of the lines were cut', () => {
  const [, station] = stations[1] as (typeof stations)[number]
  const blocksOf = (chunks: Iterable<Buffer>) => {
    const splitter = new LineSplitter('auto', { first: false })
    const events: EngineEvent[] = [run('start', ten)]
    const take = (bytes: Uint8Array, piece: Piece) =>
      events.push({
        kind: 'line',
        sequence: 0,
        stream: 'main',
        atMs: ten + events.length * 10_000,
        monotonicMs: 0,
        bytes: Buffer.from(bytes),
        piece,
      })
    for (const chunk of chunks) splitter.push(chunk, take)
    splitter.end(take)
    return text(outputsOf(station, [...events, run('end', ten + events.length * 10_000)]).all)
  }
  fc.assert(
    fc.property(nights, fc.array(fc.integer({ min: 1, max: 97 }), { minLength: 1 }), (events, sizes) => {
      const whole = Buffer.concat(events.flatMap((event) => (event.kind === 'line' ? [event.bytes] : [])))
      const chunks: Buffer[] = []
      for (let at = 0, next = 0; at < whole.length; next++) {
        const size = sizes[next % sizes.length] as number
        chunks.push(whole.subarray(at, at + size))
        at += size
      }
      expect(blocksOf(chunks)).toEqual(blocksOf([whole]))
    }),
    { numRuns: 30 },
  )
})

test('coverage only falls when readings are taken away', () => {
  const [, station] = stations[0] as (typeof stations)[number]
  const night = (kept: (number: number) => boolean) => [
    run('start', ten),
    ...Array.from({ length: 60 }, (_, place) => place)
      .filter(kept)
      .map((place) => aLine(ten + place * 10_000, { mode: 'S+running', co: 5, o2: 5, co2: 9 })),
    run('end', ten + 10 * minute),
  ]
  const whole =
    outputsOf(
      station,
      night(() => true),
    ).blocks('PT10M')[0]?.coverage ?? Number.NaN
  fc.assert(
    fc.property(fc.uniqueArray(fc.integer({ min: 1, max: 59 }), { minLength: 1, maxLength: 59 }), (taken) => {
      const coverage =
        outputsOf(
          station,
          night((place) => !taken.includes(place)),
        ).blocks('PT10M')[0]?.coverage ?? Number.NaN
      expect(coverage).toBeLessThan(whole)
    }),
    { numRuns: 40 },
  )
})
