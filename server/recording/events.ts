import { z } from 'zod'
import { plantStates, toldPhases } from '../../protocols/words/phases.ts'
import { check, exclusion } from '../engine/amendments.ts'
import { type LineEvent, linkStates, type RecordedEvent } from '../engine/events.ts'
import type { Connection } from './database.ts'
import { storedRow } from './stored-row.ts'
import {
  type ColumnsOfTime,
  columnCount,
  countedByColumn,
  countedWithin,
  type TimeFilter,
  timeValues,
  withinTime,
} from './time-filter.ts'
import { RecordingTrouble } from './trouble.ts'

export type RecordedChange = Exclude<RecordedEvent, LineEvent>
export interface NumberedChange {
  readonly sequence: number
  readonly event: RecordedChange
}

const stamped = { atMs: z.number(), monotonicMs: z.number() }
const alarmAndNote = { alarm: z.string(), note: z.string() }
const action = z.discriminatedUnion('do', [
  z.object({ do: z.literal('mark-phase'), stream: z.string().nullable(), phase: z.enum(toldPhases).nullable() }),
  z.object({ do: z.literal('plant-state'), state: z.enum(plantStates) }),
  z.object({ do: z.literal('acknowledge'), ...alarmAndNote }),
  z.object({ do: z.literal('shelve'), ...alarmAndNote, untilMs: z.number() }),
  z.object({ do: z.literal('unshelve'), ...alarmAndNote }),
  z.object({ do: z.literal('reset'), ...alarmAndNote }),
  z.object({ do: z.literal('note'), text: z.string(), pressedMs: z.number(), corrects: z.string().optional() }),
  z.object({ do: z.literal('exclude'), exclusion }),
  z.object({ do: z.literal('check'), check }),
  z.object({ do: z.literal('withdraw'), id: z.string(), reason: z.string() }),
])
const recordedChange = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('link'),
    ...stamped,
    stream: z.string(),
    state: z.enum(linkStates),
    attempt: z.number(),
    detail: z.string(),
  }),
  z.object({ kind: z.literal('operator'), ...stamped, by: z.string(), action }),
  z.object({
    kind: z.literal('clock'),
    ...stamped,
    change: z.enum(['step', 'sleep', 'speed']),
    byMs: z.number(),
    speed: z.number(),
  }),
  z.object({
    kind: z.literal('run'),
    ...stamped,
    change: z.enum(['start', 'suspend', 'resume', 'end']),
    reason: z.string(),
    by: z.string().nullable(),
  }),
]) satisfies z.ZodType<RecordedChange>

export interface EventRow {
  readonly sequence: number
  readonly atMs: number
  readonly monotonicMs: number
  readonly kind: string
  /** JSON of the event without its kind and times. */
  readonly body: string
}

export function eventBody(event: RecordedChange): string {
  const { kind: _, atMs: _at, monotonicMs: _monotonic, ...rest } = event
  return JSON.stringify(rest)
}

/** The `event` table: all inputs but lines; no other file writes or reads it. */
export function eventTable(db: Connection) {
  const columns = 'sequence, at_ms AS atMs, monotonic_ms AS monotonicMs, kind, body'
  const insert = db.prepare(
    'INSERT INTO event (sequence, at_ms, monotonic_ms, kind, body) VALUES (@sequence, @atMs, @monotonicMs, @kind, @body)',
  )
  const between = db.prepare<[number, number], EventRow>(
    `SELECT ${columns} FROM event WHERE sequence BETWEEN ? AND ? ORDER BY sequence`,
  )
  const ofKinds = db.prepare<[string, string], EventRow>(
    `SELECT ${columns} FROM event WHERE kind IN (?, ?) ORDER BY sequence`,
  )
  const noOperator = "kind <> 'operator'"
  const besideOperators = db.prepare<[ReturnType<typeof timeValues>], EventRow>(
    `SELECT ${columns} FROM event WHERE ${withinTime('event', noOperator)} ORDER BY sequence`,
  )
  const counted = db.prepare(countedWithin('event', noOperator)).pluck()
  const everything = db.prepare<[], EventRow>(`SELECT ${columns} FROM event ORDER BY sequence`)
  const count = db.prepare<[], number>('SELECT count(*) FROM event').pluck()
  return {
    insert: (row: EventRow): void => void insert.run(row),
    /** As stored, for seals; the body is not looked into. */
    rowsBetween: (first: number, last: number): EventRow[] => between.all(first, last),
    between: (first: number, last: number): NumberedChange[] => between.all(first, last).map(changeOf),
    /** Changes of the run and of the clock: only there can the station's time go back. */
    all: (): NumberedChange[] => everything.all().map(changeOf),
    runAndClock: (): NumberedChange[] => ofKinds.all('run', 'clock').map(changeOf),
    /** What operators did: entries of the logbook may lie at another time than theirs. */
    ofOperators: (): NumberedChange[] => ofKinds.all('operator', 'operator').map(changeOf),
    /** What came by itself: links, the run, the clock. */
    besideOperators: (filter: TimeFilter): NumberedChange[] => besideOperators.all(timeValues(filter)).map(changeOf),
    countBesideOperators: (filter: TimeFilter): number => Number(counted.get(timeValues(filter))),
    linksByColumn: (columns: ColumnsOfTime) =>
      db
        .prepare(countedByColumn('event', "body ->> '$.state'", "kind = 'link'"))
        .all(columns)
        .map((each) => storedRow(columnCount.extend({ kind: z.enum(linkStates) }), each, 'event')),
    count: (): number => count.get() ?? 0,
  }
}

function changeOf({ sequence, atMs, monotonicMs, kind, body }: EventRow): NumberedChange {
  let told: unknown
  try {
    told = JSON.parse(body)
  } catch (error) {
    throw new RecordingTrouble(
      'recording-damaged',
      `event ${sequence}: its body is no JSON; use verify to see what was changed`,
      error,
    )
  }
  const event = storedRow(
    recordedChange,
    { ...(typeof told === 'object' ? told : {}), kind, atMs, monotonicMs },
    `event, row ${sequence}`,
  )
  return { sequence, event }
}
