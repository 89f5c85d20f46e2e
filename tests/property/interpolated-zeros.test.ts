import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import type { EngineEvent } from '../../server/engine/events.ts'
import { aLine, aNightStation, besideStream, gas, minute, outputsOf, run, ten } from '../support/engine-night.ts'

const stepMs = 10_000
const channels = [
  gas('co', { t95Seconds: 20 }),
  gas('no'),
  gas('no2', { t95Seconds: 10 }),
  { id: 'nox', sumOf: ['no', 'no2'], species: 'NOx' as const, unit: 'ppm' as const },
  gas('o2'),
]
const station = (zero: 'last' | 'interpolated', more: { readonly byNo2?: number; readonly dilution?: number } = {}) =>
  aNightStation({
    channels,
    stream: { expectEverySeconds: 10, ...(more.dilution ? { dilution: more.dilution } : {}) },
    corrections: {
      zero,
      span: { no: 1.05 },
      ...(more.byNo2 ? { crossSensitivity: { no: { by: { no2: more.byNo2 } } } } : {}),
    },
    phases: { settle: { timesT95: 2 } },
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    averaging: { blocks: ['PT1M', 'PT10M', 'PT30M'], rolling: ['PT20M'], validity: { rule: 'minutes', minimum: 0.1 } },
  })

/** A stretch of measuring, then one of purge, in steps. */
const cycle = fc.record({
  measure: fc.integer({ min: 1, max: 90 }),
  purge: fc.integer({ min: 1, max: 25 }),
  zero: fc.tuple(...[1, 2, 3].map(() => fc.double({ min: -4, max: 6, noNaN: true }))),
})
const night = fc.array(cycle, { minLength: 1, maxLength: 6 })
const noise = (number: number, of: number): number => Math.round(1000 * Math.sin(number * 1.7 + of) * 3) / 1000

interface Line {
  readonly at: number
  readonly phase: 'S' | 'P'
  readonly values: Readonly<Record<'co' | 'no' | 'no2' | 'o2', number>>
}

function linesOf(cycles: readonly { measure: number; purge: number; zero: readonly number[] }[]): Line[] {
  const lines: Line[] = []
  for (const { measure, purge, zero } of cycles) {
    const stretch = [...Array<'S'>(measure).fill('S'), ...Array<'P'>(purge).fill('P')]
    for (const phase of stretch) {
      const number = lines.length
      const [co = 0, no = 0, no2 = 0] = zero
      lines.push({
        at: ten + number * stepMs,
        phase,
        values:
          phase === 'P'
            ? { co, no, no2, o2: 20.95 }
            : { co: 80 + noise(number, 1), no: 60 + noise(number, 2), no2: 9 + noise(number, 3), o2: 6 },
      })
    }
  }
  return lines
}

function eventsOf(lines: readonly Line[]): EngineEvent[] {
  const endMs = ten + lines.length * stepMs
  return [
    run('start', ten),
    ...lines.map(({ at, phase, values }) => aLine(at, { mode: phase, ...values })),
    run('end', endMs),
  ]
}

const rowsOf = (put: ReturnType<typeof outputsOf>): AverageRow[] =>
  put.all.flatMap((output) => (output.kind === 'block' || output.kind === 'rolling' ? [output.row] : []))
const lastTold = (rows: readonly AverageRow[]): Map<string, AverageRow> =>
  new Map(rows.map((row) => [averageKey(row), row]))

/** Counted readings of a channel: in phase measure, after twice its t95 since the purge; the first stretch does not settle. */
function counted(lines: readonly Line[], waitMs: number): Line[] {
  let backMs = Number.NEGATIVE_INFINITY
  let before: Line | undefined
  return lines.filter((line) => {
    if (before?.phase === 'P' && line.phase === 'S') backMs = line.at
    before = line
    return line.phase === 'S' && line.at >= backMs + waitMs
  })
}

test('a mean with interpolated zeros is the mean of readings that are each corrected at their own time', () => {
  fc.assert(
    fc.property(night, fc.constantFrom(0, 0.15), fc.constantFrom(1, 4), (cycles, byNo2, dilution) => {
      const lines = linesOf(cycles)
      const put = outputsOf(station('interpolated', { byNo2, dilution }), eventsOf(lines))
      const found = put.of('zero')
      const zeros = new Map(['co', 'no', 'no2'].map((id) => [id, found.filter(({ channel }) => channel === id)]))
      /** Source: plain interpolation between the zeros before and after; the last one is held after the last. */
      const zeroAt = (channel: string, at: number): number => {
        const own = zeros.get(channel) ?? []
        const before = own.findLast(({ atMs }) => atMs <= at)
        const after = own.find(({ atMs }) => atMs > at)
        if (!before) return 0
        // A purge that was too short for this channel and long enough for another: it does not wait any longer.
        const isHeld = found.some(({ atMs, used }) => used && atMs > at && atMs < (after?.atMs ?? 0))
        if (!after || isHeld) return before.mean
        return before.mean + ((after.mean - before.mean) * (at - before.middleMs)) / (after.middleMs - before.middleMs)
      }
      const own = { co: 1, no: 1.05, no2: 1 } as const
      const corrected = (channel: 'co' | 'no' | 'no2', { at, values }: Line): number =>
        (values[channel] - zeroAt(channel, at)) * own[channel] * dilution
      const value = {
        co: (line: Line) => corrected('co', line),
        no2: (line: Line) => corrected('no2', line),
        no: (line: Line) => corrected('no', line) - byNo2 * corrected('no2', line),
        nox: (line: Line) => corrected('no', line) + (1 - byNo2) * corrected('no2', line),
      }
      const waits = { co: 40_000, no2: 20_000, no: byNo2 ? 20_000 : 0, nox: 20_000 }
      const corrections = new Map(
        (['co', 'no', 'no2', 'nox'] as const).map((channel) => [
          channel,
          counted(lines, waits[channel]).map((line) => [line.at, value[channel](line)] as const),
        ]),
      )
      const rows = [...lastTold(rowsOf(put)).values()]
      expect(rows.filter(({ state }) => state !== 'final')).toEqual([])
      for (const row of rows) {
        if (row.quantity !== 'drift_corrected' || row.channel === 'o2') continue
        const channel = row.channel as keyof typeof value
        const values = (corrections.get(channel) ?? []).flatMap(([at, one]) =>
          at >= row.startMs && at < row.endMs ? [one] : [],
        )
        expect(row.count).toBe(values.length)
        if (values.length === 0) continue
        const mean = values.reduce((sum, one) => sum + one, 0) / values.length
        expect(row.mean).toBeCloseTo(mean, 8)
        const squares = values.reduce((sum, one) => sum + (one - mean) ** 2, 0)
        if (values.length > 1) expect(row.standardDeviation).toBeCloseTo(Math.sqrt(squares / (values.length - 1)), 6)
        expect(row.minimum).toBeCloseTo(Math.min(...values), 8)
        expect(row.maximum).toBeCloseTo(Math.max(...values), 8)
      }
    }),
    { numRuns: 30 },
  )
})

test('a row that waits for a zero is told twice: provisional, then final; others once', () => {
  fc.assert(
    fc.property(night, (cycles) => {
      const states = new Map<string, string[]>()
      for (const row of rowsOf(outputsOf(station('interpolated'), eventsOf(linesOf(cycles))))) {
        const key = averageKey(row)
        states.set(key, [...(states.get(key) ?? []), row.state])
      }
      for (const [key, told] of states) {
        const rests = !key.includes('/as_read/') && !key.startsWith('o2/')
        expect([key, told]).toEqual([key, rests ? ['provisional', 'final'] : ['final']])
      }
    }),
    { numRuns: 20 },
  )
})

test('zeros that stay the same correct alike, interpolated or last', () => {
  fc.assert(
    fc.property(night, (cycles) => {
      const still = cycles.map((one) => ({ ...one, zero: cycles[0]?.zero ?? [] }))
      const events = eventsOf(linesOf(still))
      const last = lastTold(rowsOf(outputsOf(station('last'), events)))
      const between = lastTold(rowsOf(outputsOf(station('interpolated'), events)))
      expect([...between.keys()].sort()).toEqual([...last.keys()].sort())
      for (const [key, row] of between) {
        const other = last.get(key)
        const { mean, reasons, ...rest } = row
        expect(reasons.filter((reason) => reason !== 'zero_not_followed')).toEqual(other?.reasons)
        if (mean === null) expect(other?.mean).toBeNull()
        else expect(mean).toBeCloseTo(other?.mean ?? Number.NaN, 9)
        expect([rest.count, rest.countedMs, rest.valid, rest.coverage]).toEqual([
          other?.count,
          other?.countedMs,
          other?.valid,
          other?.coverage,
        ])
      }
    }),
    { numRuns: 20 },
  )
})

test('values across streams wait for the zero of the one that has it', () => {
  const split = [gas('co'), gas('o2', { stream: 'duct' })]
  const two = aNightStation({
    channels: split,
    corrections: { zero: 'interpolated' },
    conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    averaging: { blocks: ['PT10M'], validity: { rule: 'minutes', minimum: 0.1 } },
    beside: [besideStream('duct', split)],
  })
  const events: EngineEvent[] = [run('start', ten)]
  for (let number = 0; number < 50; number++) {
    const at = ten + number * minute
    const isPurge = number < 5 || (number >= 35 && number < 40)
    events.push(aLine(at, { mode: isPurge ? 'P' : 'S', co: isPurge ? (number < 5 ? 2 : 5) : 87 }))
    events.push(aLine(at, { mode: 'S', o2: 6 }, { stream: 'duct' }))
  }
  events.push(run('end', ten + 50 * minute))
  const rows = rowsOf(outputsOf(two, events)).filter(
    (row) => row.quantity === 'at_reference_oxygen' && row.startMs === ten + 10 * minute,
  )
  expect(rows.map(({ state }) => state)).toEqual(['provisional', 'final'])
  // Zeros 2 at minute 2 and 5 at minute 37: 2 + 3 · (14.5 − 2) / 35 on the mean of minutes 10 … 19; CO 1.24967 mg/m³ per ppm.
  const expected = ((87 - (2 + (3 * 12.5) / 35)) * 28.01 * 101.325 * (21 - 3)) / (8.31446261815324 * 273.15 * (21 - 6))
  expect(rows[1]?.mean).toBeCloseTo(expected, 9)
})
