import { z } from 'zod'
import { type Phase, phaseSources, phases, plantStates } from '../../protocols/words/phases.ts'
import type { PhaseSpanOutput, PlantSpanOutput } from '../engine/outputs.ts'
import type { Connection } from './database.ts'
import { storedRow, whereGiven } from './stored-row.ts'

export type PhaseSpan = Omit<PhaseSpanOutput, 'kind'>
export type PlantSpan = Omit<PlantSpanOutput, 'kind'>

/** Phases of one stream in order, in columns; the end of one that is still open is null. */
export interface PhaseColumns {
  readonly startMs: number[]
  readonly endMs: (number | null)[]
  readonly phase: Phase[]
}
const phaseMark = z.tuple([z.string(), z.enum(phases), z.number(), z.number().nullable()])

/** A span belongs to [fromMs, toMs) when a part of it lies there; one that is still open has no end yet. */
export interface SpanFilter {
  readonly stream?: string
  readonly fromMs?: number
  readonly toMs?: number
}
const clauses = { stream: 'stream = @stream', fromMs: '(end_ms IS NULL OR end_ms > @fromMs)', toMs: 'start_ms < @toMs' }

const phaseRow = z.object({
  stream: z.string(),
  phase: z.enum(phases),
  startMs: z.number(),
  endMs: z.number().nullable(),
  cause: z.enum([...phaseSources, 'settling', 'run-start', 'nothing-told']),
  inferred: z.int().transform((value) => value === 1),
  readings: z.number(),
})
const plantRow = z.object({
  state: z.enum(plantStates),
  startMs: z.number(),
  endMs: z.number().nullable(),
  cause: z.string(),
})

/**
 * The `phase_span` table; no other file writes or reads it. Spans of a stream tile its time, so that a span replaces every
 * span that starts inside it: this is how a back-dated phase supersedes what was stored before it was recognised.
 */
export function phaseSpanTable(db: Connection) {
  const supersede = db.prepare(
    'DELETE FROM phase_span WHERE stream = @stream AND start_ms >= @startMs AND (start_ms = @startMs OR @endMs IS NULL OR start_ms < @endMs)',
  )
  const insert = db.prepare(
    'INSERT INTO phase_span (stream, start_ms, end_ms, phase, cause, inferred, readings) VALUES (@stream, @startMs, @endMs, @phase, @cause, @inferred, @readings)',
  )
  return {
    put(span: PhaseSpan): void {
      const row = { ...span, inferred: span.inferred ? 1 : 0 }
      supersede.run(row)
      insert.run(row)
    },
    clear: (): void => void db.exec('DELETE FROM phase_span'),
    read(filter: SpanFilter): PhaseSpan[] {
      const found =
        db.prepare(`SELECT stream, phase, start_ms AS startMs, end_ms AS endMs, cause, inferred, readings FROM phase_span
        ${whereGiven({ ...filter }, clauses)} ORDER BY start_ms, stream`)
      return found.all(filter).map((each) => storedRow(phaseRow, each, 'phase_span'))
    },
    /** Stream → its phases with a part in [fromMs, toMs). */
    columns(fromMs: number, toMs: number): ReadonlyMap<string, PhaseColumns> {
      const found = db
        .prepare(`SELECT stream, phase, start_ms, end_ms FROM phase_span
        ${whereGiven({ fromMs, toMs }, clauses)} ORDER BY start_ms, stream`)
        .raw()
      const columns = new Map<string, PhaseColumns>()
      for (const each of found.iterate({ fromMs, toMs })) {
        const [stream, phase, startMs, endMs] = storedRow(phaseMark, each, 'phase_span')
        const of = columns.get(stream) ?? { startMs: [], endMs: [], phase: [] }
        if (!columns.has(stream)) columns.set(stream, of)
        of.startMs.push(startMs)
        of.endMs.push(endMs)
        of.phase.push(phase)
      }
      return columns
    },
  }
}

/** The `plant_span` table, by the same rule; no other file writes or reads it. */
export function plantSpanTable(db: Connection) {
  const supersede = db.prepare(
    'DELETE FROM plant_span WHERE start_ms >= @startMs AND (start_ms = @startMs OR @endMs IS NULL OR start_ms < @endMs)',
  )
  const insert = db.prepare(
    'INSERT INTO plant_span (start_ms, end_ms, state, cause) VALUES (@startMs, @endMs, @state, @cause)',
  )
  return {
    put(span: PlantSpan): void {
      supersede.run(span)
      insert.run(span)
    },
    clear: (): void => void db.exec('DELETE FROM plant_span'),
    read: (): PlantSpan[] =>
      db
        .prepare('SELECT state, start_ms AS startMs, end_ms AS endMs, cause FROM plant_span ORDER BY start_ms')
        .all()
        .map((each) => storedRow(plantRow, each, 'plant_span')),
  }
}
