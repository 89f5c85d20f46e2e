import type { CompareAnswer, ComparedRow, CompareRequest } from '../../protocols/live/compare.ts'
import { type AverageRow, averageKey } from '../../protocols/words/blocks.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import { withPassingTime } from '../engine/passing-time.ts'
import { createEngine } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { withChanges } from './changed-settings.ts'
import { stationFromSettings } from './recorded-settings.ts'

/**
 * A recording evaluated with other settings beside those it was made with, block by block; nothing is stored. Both engines go
 * through the lines together, so that only what one has formed and the other not yet is kept, and a page of the rows.
 */
export function compareSettings(path: string, request: CompareRequest): CompareAnswer {
  const reader = openRecording(path)
  try {
    const { settings, origin } = reader.header
    const present = stationFromSettings(settings)
    const { station: tried, changes, notes } = withChanges(present, request.set)
    const options = { amendments: amendmentsOf(reader.changes()), unendedCounts: origin === 'imported' }
    const engines = { present: createEngine(present, options), tried: createEngine(tried, options) }
    const comparison = new Comparison(request)
    for (const event of withPassingTime(reader.inputs())) {
      comparison.take('present', step(engines.present, event)[1])
      comparison.take('tried', step(engines.tried, event)[1])
    }
    comparison.end()
    return {
      ok: true,
      stored: false,
      engine: engineVersion,
      changes: changes.map(({ path: setting, from, to }) => ({ path: setting, from: jsonOf(from), to: jsonOf(to) })),
      notes: [...notes],
      counts: comparison.counts,
      rowsInAll: comparison.rowsInAll,
      rows: comparison.rows,
    }
  } finally {
    reader.close()
  }
}

type Json = CompareAnswer['changes'][number]['from']
const jsonOf = (value: unknown): Json => JSON.parse(JSON.stringify(value ?? null)) as Json

type Side = 'present' | 'tried'

class Comparison {
  readonly counts = { compared: 0, different: 0, becameInvalid: 0, becameValid: 0, onlyPresent: 0, onlyTried: 0 }
  readonly rows: ComparedRow[] = []
  rowsInAll = 0
  private readonly request: CompareRequest
  private readonly waiting: Record<Side, Map<string, AverageRow>> = { present: new Map(), tried: new Map() }

  constructor(request: CompareRequest) {
    this.request = request
  }

  take(side: Side, outputs: readonly EngineOutput[]): void {
    for (const output of outputs) {
      if (output.kind !== 'block' || output.row.state !== 'final' || !this.isAsked(output.row)) continue
      const key = averageKey(output.row)
      const others = this.waiting[side === 'present' ? 'tried' : 'present']
      const other = others.get(key)
      if (!other) {
        this.waiting[side].set(key, output.row)
        continue
      }
      others.delete(key)
      if (side === 'present') this.compare(output.row, other)
      else this.compare(other, output.row)
    }
  }

  /** What only one of both has formed. */
  end(): void {
    const left = [
      ...[...this.waiting.present.values()].map((row) => [row, null] as const),
      ...[...this.waiting.tried.values()].map((row) => [null, row] as const),
    ].sort(([a, b], [c, d]) => (a ?? b ?? { startMs: 0 }).startMs - (c ?? d ?? { startMs: 0 }).startMs)
    for (const [present, tried] of left) this.compare(present, tried)
  }

  private isAsked({ channel, average, quantity }: AverageRow): boolean {
    const { request } = this
    return (
      (request.channel === undefined || request.channel === channel) &&
      (request.average === undefined || request.average === average) &&
      (request.quantity === undefined || request.quantity === quantity)
    )
  }

  private compare(present: AverageRow | null, tried: AverageRow | null): void {
    const row = present ?? tried
    if (row === null) return
    const differs = present === null || tried === null || isDifferent(present, tried)
    this.count(present, tried, differs)
    if (this.request.onlyDifferent && !differs) return
    const number = this.rowsInAll++
    if (number < this.request.from || this.rows.length >= this.request.most) return
    const { channel, quantity, unit, average, startMs, endMs } = row
    this.rows.push({
      ...{ channel, quantity, unit, average, startMs, endMs },
      present: present && sideOf(present),
      tried: tried && sideOf(tried),
      difference:
        present === null || tried === null || present.mean === null || tried.mean === null
          ? null
          : tried.mean - present.mean,
      differs,
    })
  }

  private count(present: AverageRow | null, tried: AverageRow | null, differs: boolean): void {
    const { counts } = this
    if (present === null) counts.onlyTried++
    else if (tried === null) counts.onlyPresent++
    else {
      counts.compared++
      if (differs) counts.different++
      if (present.valid && !tried.valid) counts.becameInvalid++
      if (!present.valid && tried.valid) counts.becameValid++
    }
  }
}

const sideOf = (row: AverageRow): NonNullable<ComparedRow['tried']> => ({
  mean: row.mean,
  referenceOxygen: row.referenceOxygen,
  conditions: row.conditions,
  count: row.count,
  countedMs: row.countedMs,
  coverage: row.coverage,
  valid: row.valid,
  reasons: row.reasons,
  uncertainty: row.uncertainty,
  verdicts: row.verdicts,
})
const isDifferent = (a: AverageRow, b: AverageRow): boolean => JSON.stringify(sideOf(a)) !== JSON.stringify(sideOf(b))
