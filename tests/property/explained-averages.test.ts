import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import { conversionSteps } from '../../server/engine/conversions/conversion-steps.ts'
import type { EngineEvent } from '../../server/engine/events.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { createEngine } from '../../server/engine/state.ts'
import { step } from '../../server/engine/step.ts'
import type { Tracer } from '../../server/engine/tracing/tracer.ts'
import { aLine, aNightStation, besideStream, during, gas, minute, outputsOf, ten } from '../support/engine-night.ts'

const station = aNightStation({
  channels: [
    gas('no'),
    gas('no2'),
    gas('nox', { sumOf: ['no', 'no2'], stream: undefined, field: undefined }),
    gas('o2'),
  ],
  conversions: { referenceOxygen: 3, ambientOxygen: 21 },
  corrections: { zero: 'last', span: { no: 1.02 } },
  averaging: { blocks: ['PT30M'], rolling: ['PT1H'] },
  stream: { expectEverySeconds: 60 },
})
/** An hour and a half, a line about every minute: what the instrument does, what it reads, whether a line comes at all. */
const night = fc.array(
  fc.record({
    mode: fc.constantFrom('S', 'S', 'S', 'S', 'P', 'Z'),
    no: fc.double({ min: -2, max: 400, noNaN: true }),
    no2: fc.option(fc.double({ min: 0, max: 40, noNaN: true }), { freq: 8 }),
    o2: fc.double({ min: 0, max: 20, noNaN: true }),
    comes: fc.boolean().map((skips) => !skips),
    late: fc.integer({ min: 0, max: 20_000 }),
  }),
  { minLength: 60, maxLength: 90 },
)
type Night = typeof night extends fc.Arbitrary<infer N> ? N : never
const linesOf = (told: Night): EngineEvent[] =>
  told.flatMap(({ comes, late, ...values }, number) =>
    comes || number % 3 > 0 ? [{ ...aLine(ten + number * minute + late, values), sequence: number + 1 }] : [],
  )
const runOf = (told: Night): EngineEvent[] => during(ten, ten + 91 * minute, linesOf(told))

/** An average with the trace of it. */
function traced(
  of: StationFile,
  events: readonly EngineEvent[],
  asked: AverageRow,
): { row: AverageRow; tracer: Tracer } {
  const { channel, quantity, unit, average, startMs, endMs } = asked
  const engine = createEngine(of, { trace: { channel, quantity, unit, average, startMs, endMs } })
  const rows = events.flatMap((event) =>
    step(engine, event)[1].flatMap((output) =>
      (output.kind === 'block' || output.kind === 'rolling') && averageKey(output.row) === averageKey(asked)
        ? [output.row]
        : [],
    ),
  )
  return { row: rows.at(-1) as AverageRow, tracer: engine.context.trace as Tracer }
}
const rowsOf = (of: StationFile, events: readonly EngineEvent[]): AverageRow[] =>
  outputsOf(of, events).all.flatMap((output) =>
    output.kind === 'block' || output.kind === 'rolling' ? [output.row] : [],
  )

/** The same with the line between zeros, and cells that answer to each other's gases. */
const interpolating = aNightStation({
  channels: [
    gas('no'),
    gas('no2'),
    gas('nox', { sumOf: ['no', 'no2'], stream: undefined, field: undefined }),
    gas('o2'),
  ],
  conversions: { referenceOxygen: 3, ambientOxygen: 21 },
  corrections: {
    zero: 'interpolated',
    span: { no: 1.02 },
    crossSensitivity: { no: { by: { no2: 0.05 } }, no2: { by: { no: 0.02 } } },
    drift: { limitPercent: 90, bases: { no2: 100 }, correctAbovePercent: 5, beyond: 'remark' },
  },
  averaging: { blocks: ['PT30M'], rolling: ['PT1H'] },
  stream: { expectEverySeconds: 60 },
})

test.each([
  ['the last zero subtracted', station],
  ['zeros interpolated, gases solved', interpolating],
])('what a trace tells of an average adds up to it, and changes nothing: %s', (_, of) => {
  fc.assert(
    fc.property(night, fc.nat(), (told, choice) => {
      const events = runOf(told)
      const rows = rowsOf(of, events)
      const asked = rows[choice % rows.length] as AverageRow
      const { row, tracer } = traced(of, events, asked)
      // Told again once a zero followed: the last one stands.
      expect(row).toEqual(rows.findLast((one) => averageKey(one) === averageKey(asked)))
      const sums = tracer.sumsOf(row)
      const readings = tracer.readingsOf(row)
      const parts = readings.flatMap((reading) => reading.parts)
      const weight = parts.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0)
      expect([weight, readings.filter(({ counts, atMs }) => counts && atMs >= row.startMs).length]).toEqual([
        row.countedMs,
        row.count,
      ])
      sums?.integrals.forEach((integral, lane) => {
        const sum = parts.reduce(
          (all, { fromMs, toMs, values }) => all + (values[lane] ?? Number.NaN) * (toMs - fromMs),
          0,
        )
        expect(Math.abs(sum - integral)).toBeLessThanOrEqual(1e-9 * Math.max(1, Math.abs(integral)))
      })
    }),
    { numRuns: 60 },
  )
})

test('the steps of a conversion lead to the converted mean', () => {
  fc.assert(
    fc.property(night, (told) => {
      const events = runOf(told)
      const converted = rowsOf(station, events).filter(
        ({ quantity, mean }) => quantity === 'at_reference_oxygen' && mean !== null,
      )
      for (const asked of converted.slice(0, 3)) {
        const { row, tracer } = traced(station, events, asked)
        const { plan } = createEngine(station).context
        const value = plan.values.find(
          ({ quantity, unit, channel }) =>
            quantity === row.quantity && unit === row.unit && station.channels[channel]?.id === row.channel,
        )
        if (!value) throw new Error('the plan has the value of its own row')
        const steps = conversionSteps(station, value, tracer.sumsOf(row)?.means ?? [])
        expect(steps.at(-1)?.result).toBe(row.mean)
      }
    }),
    { numRuns: 30 },
  )
})

test('to exclude a stretch is as if the instrument had told no values in it', () => {
  fc.assert(
    fc.property(night, fc.integer({ min: 0, max: 80 }), fc.integer({ min: 1, max: 30 }), (told, first, length) => {
      const exclusion = {
        id: 'exclusion-1',
        fromMs: ten + first * minute,
        toMs: ten + (first + length) * minute,
        stream: null,
        channel: null,
        reason: 'probe was out',
        by: 'A. Tester',
        toldMs: ten,
      }
      const silent = told.map((line, number) => {
        const at = ten + number * minute + line.late
        return at >= exclusion.fromMs && at < exclusion.toMs ? { ...line, no: '---', no2: '---', o2: '---' } : line
      })
      const amended = outputsOf(station, runOf(told), { amendments: { exclusions: [exclusion], checks: [] } })
      const without = outputsOf(station, runOf(silent as never))
      const plain = (rows: readonly AverageRow[]) =>
        rows.map(({ reasons, ...row }) => ({ ...row, reasons: reasons.filter((reason) => reason !== 'excluded') }))
      for (const channel of ['no', 'nox', 'o2'])
        for (const quantity of ['as_read', 'at_reference_oxygen'])
          expect(plain(amended.blocks('PT30M', channel, quantity))).toEqual(
            plain(without.blocks('PT30M', channel, quantity)),
          )
    }),
    { numRuns: 60 },
  )
})

test('an average across instruments is traced down to the minutes that were joined', () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const joined = aNightStation({
    channels,
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    averaging: { blocks: ['PT30M'] },
    stream: { expectEverySeconds: 60 },
    beside: [besideStream('beside', channels)],
  })
  const events = during(
    ten,
    ten + 61 * minute,
    Array.from({ length: 60 }, (_, number) => number).flatMap((number) => [
      aLine(ten + number * minute, { mode: 'S', co: 40 + (number % 2) }),
      aLine(ten + number * minute + 1, { mode: 'S', o2: 5 }, { stream: 'beside' }),
    ]),
  )
  const asked = rowsOf(joined, events).find(
    ({ quantity, startMs, average }) => quantity === 'at_reference_oxygen' && startMs === ten && average === 'PT30M',
  )
  const { row, tracer } = traced(joined, events, asked as AverageRow)
  expect(tracer.joinedOf(row)).toHaveLength(30)
  // By hand: 40.5 ppm in mean; at 5 % oxygen, referred to 3 %: · 18/16.
  const [co = Number.NaN, o2] = tracer.sumsOf(row)?.means ?? []
  expect([co, o2]).toEqual([expect.closeTo(40.5, 6), expect.closeTo(5, 9)])
  expect(new Set(tracer.readings.map(({ stream }) => stream))).toEqual(new Set(['main', 'beside']))
})

test('an average across instruments with interpolated zeros is told by the minutes that stand, each once', () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const joined = aNightStation({
    channels,
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    corrections: { zero: 'interpolated' },
    averaging: { blocks: ['PT30M'] },
    stream: { expectEverySeconds: 60 },
    beside: [besideStream('beside', channels)],
  })
  // Purges of ten minutes before and after half an hour of measuring: CO zero 1 ppm, then 3 ppm.
  const purged = (number: number): number | null => (number < 10 ? 1 : number >= 60 ? 3 : null)
  const events = during(
    ten,
    ten + 91 * minute,
    Array.from({ length: 90 }, (_, number) => number).flatMap((number) => [
      aLine(ten + number * minute, {
        mode: purged(number) === null || number >= 70 ? 'S' : 'P',
        co: (number < 70 ? purged(number) : null) ?? 42,
      }),
      aLine(ten + number * minute + 1, { mode: 'S', o2: 5 }, { stream: 'beside' }),
    ]),
  )
  const asked = rowsOf(joined, events).find(
    ({ quantity, startMs, state }) =>
      quantity === 'at_reference_oxygen' && startMs === ten + 30 * minute && state === 'final',
  )
  const { row, tracer } = traced(joined, events, asked as AverageRow)
  const minutes = tracer.joinedOf(row)
  expect(minutes.map(({ startMs }) => startMs)).toEqual(
    Array.from({ length: 30 }, (_, number) => ten + (30 + number) * minute),
  )
  const weight = minutes.reduce((sum, { countedMs }) => sum + countedMs, 0)
  const co = minutes.reduce((sum, { countedMs, means }) => sum + countedMs * (means[0] ?? Number.NaN), 0) / weight
  expect(co).toBeCloseTo(tracer.sumsOf(row)?.means[0] ?? Number.NaN, 9)
  // The zero at each reading lies between 1 and 3 ppm, so that each is corrected to between 39 and 41 ppm.
  expect(co).toBeGreaterThan(39.5)
  expect(co).toBeLessThan(40.5)
})

test('an average across instruments is told by readings as they were corrected, not as they were read', () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const joined = aNightStation({
    channels,
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    corrections: { zero: 'last' },
    averaging: { blocks: ['PT30M'] },
    beside: [besideStream('beside', channels)],
  })
  // A purge of ten minutes shows 2 ppm in clean air; then 42 ppm.
  const events = during(
    ten,
    ten + 61 * minute,
    Array.from({ length: 60 }, (_, number) => number).flatMap((number) => [
      aLine(ten + number * minute, { mode: number < 10 ? 'P' : 'S', co: number < 10 ? 2 : 42 }),
      aLine(ten + number * minute, { mode: 'S', o2: 5 }, { stream: 'beside' }),
    ]),
  )
  const asked = rowsOf(joined, events).find(
    ({ quantity, startMs }) => quantity === 'at_reference_oxygen' && startMs === ten + 30 * minute,
  )
  const { tracer } = traced(joined, events, asked as AverageRow)
  const told = tracer.readings.filter(({ stream }) => stream === 'main').flatMap(({ parts }) => parts)
  expect(new Set(told.map(({ values }) => values[0]))).toEqual(new Set([40]))
})
