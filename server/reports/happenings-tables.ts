import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { Amendments } from '../engine/amendments.ts'
import type { PhaseSpanOutput } from '../engine/outputs.ts'
import { type Table, tableOf } from './table.ts'

export type PhaseSpan = Omit<PhaseSpanOutput, 'kind'>

/** An entry of the logbook as an export needs it. */
export interface LogbookRow {
  readonly atMs: number
  readonly kind: string
  readonly stream: string | null
  readonly text: string
  readonly by: string | null
  /** When it was saved; `atMs` is when it was pressed. */
  readonly savedMs: number | null
  readonly severity: string
  /** The id of the note that this one corrects. */
  readonly corrects?: string | undefined
}

/** Every change of state of every alarm, in the order in which they happened. */
export const alarmsTable = (run: string, transitions: Iterable<AlarmTransition>): Table =>
  tableOf('alarms', () => transitions, [
    ['run', 'text', () => run],
    ['time', 'time', (row) => row.atMs],
    ['alarm', 'text', (row) => row.alarm],
    ['class', 'text', (row) => row.class],
    ['cause', 'text', (row) => row.cause],
    ['stream', 'text', (row) => row.stream],
    ['channel', 'text', (row) => row.channel],
    ['priority', 'text', (row) => row.priority],
    ['from', 'text', (row) => row.from],
    ['to', 'text', (row) => row.to],
    ['input', 'text', (row) => row.input],
    ['active', 'truth', (row) => row.active],
    ['value', 'number', (row) => row.value],
    ['limit', 'number', (row) => row.limit],
    ['unit', 'text', (row) => row.unit],
    ['by', 'text', (row) => row.by],
    ['note', 'text', (row) => row.note],
    ['until', 'time', (row) => row.untilMs],
  ])

/** What the instrument was doing; a span told again replaces the earlier telling. One that goes on has no end, and its readings are not counted yet. */
export function phasesTable(run: string, told: Iterable<PhaseSpan>): Table {
  const spans = [...new Map([...told].map((span) => [`${span.stream}/${span.startMs}`, span])).values()].sort(
    (a, b) => a.startMs - b.startMs,
  )
  return tableOf('phases', () => spans, [
    ['run', 'text', () => run],
    ['stream', 'text', (row) => row.stream],
    ['phase', 'text', (row) => row.phase],
    ['start', 'time', (row) => row.startMs],
    ['end', 'time', (row) => row.endMs],
    ['cause', 'text', (row) => row.cause],
    ['inferred', 'truth', (row) => row.inferred],
    ['readings', 'number', (row) => (row.endMs === null ? null : row.readings)],
  ])
}

export const logbookTable = (run: string, entries: Iterable<LogbookRow>): Table =>
  tableOf('logbook', () => entries, [
    ['run', 'text', () => run],
    ['time', 'time', (row) => row.atMs],
    ['kind', 'text', (row) => row.kind],
    ['severity', 'text', (row) => row.severity],
    ['stream', 'text', (row) => row.stream],
    ['text', 'text', (row) => row.text],
    ['by', 'text', (row) => row.by],
    ['saved', 'time', (row) => row.savedMs],
    ['corrects', 'text', (row) => row.corrects ?? null],
  ])

/** The stretches that an operator took out of the averages; an empty stream or channel means all. */
export const exclusionsTable = (run: string, exclusions: Amendments['exclusions']): Table =>
  tableOf('exclusions', () => exclusions, [
    ['run', 'text', () => run],
    ['id', 'text', (row) => row.id],
    ['start', 'time', (row) => row.fromMs],
    ['end', 'time', (row) => row.toMs],
    ['stream', 'text', (row) => row.stream],
    ['channel', 'text', (row) => row.channel],
    ['reason', 'text', (row) => row.reason],
    ['by', 'text', (row) => row.by],
    ['told', 'time', (row) => row.toldMs],
  ])
