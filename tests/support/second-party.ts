import Database from 'better-sqlite3'
import { expect } from 'vitest'
import { flueledger } from './built-command.ts'

// What a second party needs to recompute an average: the lines of the file, and what `explain` prints as JSON. Nothing here is of
// the station's code. Formulas as docs/calculations.md gives them.

/** The raw lines of a recording, read as the SQLite file that it is, by number. */
export function linesOf(recording: string): Map<number, string> {
  const db = new Database(recording, { readonly: true })
  const rows = db.prepare('SELECT sequence, bytes FROM line').all() as { sequence: number; bytes: Buffer }[]
  db.close()
  return new Map(rows.map(({ sequence, bytes }) => [sequence, bytes.toString('utf8').trimEnd()]))
}

interface Told {
  performedMs: number
  expected: number
  response: number
}
interface Zero {
  channel: string
  atMs: number
  middleMs: number
  mean: number
  bounds: { low: number; high: number } | null
  check: Told | null
  readings: { sequence: number }[]
}
interface Reading {
  sequence: number
  atMs: number
  counts: boolean
  parts: { fromMs: number; toMs: number }[]
  values: Record<string, { zeroOf: number | null; zeroTo: number | null; spanFactor: number; dilution: number }>
}
export interface Explained {
  row: {
    mean: number
    count: number
    countedMs: number
    unit: string
    state: string
    startMs: number
    endMs: number
    coverage: number
  }
  agrees: boolean
  channels: {
    id: string
    field: { at: number | string; delimiter: string | null } | null
    sumOf: { channel: string; factor: number }[]
    solvedFrom: { channel: string; factor: number }[]
  }[]
  lanes: { channel: string; from: 'raw' | 'corrected' }[]
  zeros: Zero[]
  zeroCourses: { channel: string; fromMs: number; toMs: number; zeroOf: number; how: 'line' | 'too small' | 'held' }[]
  spans: { channel: string; points: { check: Told; zero: Told | null }[] }[]
  blocks: { mean: number; valid: boolean; startMs: number }[] | null
  readings: Reading[]
  steps: { step: string; formula: string; inputs: { name: string; value: number }[]; result: number }[]
}

export async function explainedOf(recording: string, ...asked: string[]): Promise<Explained> {
  const { status, out, err } = await flueledger('explain', recording, ...asked, '--json')
  expect([status, err]).toEqual([0, ''])
  return JSON.parse(out) as Explained
}

/** Twelve digits: sums of thousands of doubles in another order differ in the fourteenth. */
export const stated = (value: number): string => value.toPrecision(12)

const minuteMs = 60_000
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** Recomputes readings of one explanation from its lines. */
class SecondParty {
  private readonly answer: Explained
  private readonly lineOf: ReadonlyMap<number, string>
  /** Each is asked for with every reading that it corrects. */
  private readonly zeroMeans = new Map<Zero, number>()

  constructor(answer: Explained, lineOf: ReadonlyMap<number, string>) {
    this.answer = answer
    this.lineOf = lineOf
  }

  private channel(id: string): Explained['channels'][number] {
    const found = this.answer.channels.find((one) => one.id === id)
    if (!found) throw new Error(`explain does not say where ${id} stands`)
    return found
  }

  /** Value of a channel as it stands in a raw line; a sum of its members. */
  asRead(id: string, sequence: number): number {
    const { field, sumOf } = this.channel(id)
    if (field === null)
      return sumOf.reduce((sum, { channel, factor }) => sum + this.asRead(channel, sequence) * factor, 0)
    const line = this.lineOf.get(sequence) ?? ''
    if (typeof field.at === 'number') return Number(line.split(field.delimiter ?? ',')[field.at])
    return Number(new RegExp(`(?:^|;)${field.at}=([^;*]+)`).exec(line)?.[1])
  }

  /** What a purge's readings or a check come to. */
  private zeroMean(zero: Zero): number {
    const known = this.zeroMeans.get(zero) ?? this.zeroMeanAnew(zero)
    this.zeroMeans.set(zero, known)
    return known
  }

  private zeroMeanAnew({ channel, bounds, check, readings }: Zero): number {
    if (check) return check.response - check.expected
    const { low, high } = bounds ?? { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY }
    return mean(readings.map(({ sequence }) => Math.min(high, Math.max(low, this.asRead(channel, sequence)))))
  }

  private zero(id: string, { atMs, values }: Reading): number {
    const { zeroOf, zeroTo } = values[id] as Reading['values'][string]
    const found = (at: number | null): Zero | undefined =>
      this.answer.zeros.find(({ channel, atMs: end }) => channel === id && end === at)
    const [before, after] = [found(zeroOf), found(zeroTo)]
    if (!before) return 0
    const first = this.zeroMean(before)
    const course = this.answer.zeroCourses.find(
      (one) => one.channel === id && one.zeroOf === zeroOf && one.fromMs <= atMs && atMs < one.toMs,
    )
    if (course?.how !== 'line' || !after) return first
    const share = (atMs - before.middleMs) / (after.middleMs - before.middleMs)
    return first + (this.zeroMean(after) - first) * share
  }

  /** From the checks, where these give it: on the line between their sensitivities, at the start of the minute. */
  private spanFactor(id: string, { atMs, values }: Reading): number {
    const points = this.answer.spans.find(({ channel }) => channel === id)?.points
    if (!points) return values[id]?.spanFactor ?? Number.NaN
    const known = points.map(({ check, zero }) => ({
      atMs: check.performedMs,
      sensitivity: (check.response - (zero ? zero.response - zero.expected : 0)) / check.expected,
    }))
    const minute = Math.floor(atMs / minuteMs) * minuteMs
    const before = known.findLast((one) => one.atMs <= minute) ?? known[0]
    const after = known.find((one) => one.atMs >= minute) ?? known.at(-1)
    if (!before || !after) return Number.NaN
    const share = after.atMs > before.atMs ? (minute - before.atMs) / (after.atMs - before.atMs) : 0
    return 1 / (before.sensitivity + (after.sensitivity - before.sensitivity) * share)
  }

  private alone(id: string, reading: Reading): number {
    const dilution = reading.values[id]?.dilution ?? Number.NaN
    return (this.asRead(id, reading.sequence) - this.zero(id, reading)) * this.spanFactor(id, reading) * dilution
  }

  corrected(id: string, reading: Reading): number {
    const { field, sumOf, solvedFrom } = this.channel(id)
    if (field === null)
      return sumOf.reduce((sum, { channel, factor }) => sum + this.corrected(channel, reading) * factor, 0)
    if (solvedFrom.length === 0) return this.alone(id, reading)
    return solvedFrom.reduce((sum, { channel, factor }) => sum + factor * this.alone(channel, reading), 0)
  }
}

/** The mean of each lane over the counted readings, by the time that each weighs. */
export function meansOf(answer: Explained, lineOf: ReadonlyMap<number, string>): number[] {
  const party = new SecondParty(answer, lineOf)
  const counted = answer.readings.filter(({ counts }) => counts)
  const weight = (reading: Reading): number => reading.parts.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0)
  const time = counted.reduce((sum, reading) => sum + weight(reading), 0)
  return answer.lanes.map(({ channel, from }) => {
    const value = (reading: Reading): number =>
      from === 'raw' ? party.asRead(channel, reading.sequence) : party.corrected(channel, reading)
    return counted.reduce((sum, reading) => sum + value(reading) * weight(reading), 0) / time
  })
}
