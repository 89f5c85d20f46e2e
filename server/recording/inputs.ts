import type { RecordedEvent } from '../engine/events.ts'
import type { Connection } from './database.ts'
import { eventTable, type NumberedChange } from './events.ts'
import { lineTable } from './lines.ts'

/** Which inputs; what is not given does not select. Times are the station's, ms, half-open [fromMs, toMs). */
export interface InputFilter {
  /** Only inputs with a greater number. */
  readonly afterSequence?: number
  readonly fromMs?: number
  readonly toMs?: number
  /** Inputs read at once; they are in memory together. */
  readonly pageSize?: number
}
const pageSizeUsual = 2000

/** The inputs of a recording, lines and events in one order, as the engine was given them. */
export function recordedInputs(db: Connection) {
  const lines = lineTable(db)
  const events = eventTable(db)
  const last = db.prepare<[], number>('SELECT max(ifnull((SELECT max(sequence) FROM line), 0), ifnull((SELECT max(sequence) FROM event), 0))').pluck()
  const timeFrom = db.prepare<[number, number], { sequence: number; atMs: number }>(
    `SELECT sequence, at_ms AS atMs FROM (SELECT sequence, at_ms FROM line WHERE sequence >= @from AND sequence < @to UNION ALL
     SELECT sequence, at_ms FROM event WHERE sequence >= @from AND sequence < @to) ORDER BY sequence LIMIT 1`,
  )
  return { lines, events, lastSequence: (): number => last.get() ?? 0, page: db.transaction(readPage), pages }

  /** Both tables as of one moment: a batch that comes in between is not seen by half. */
  function readPage(first: number, end: number): RecordedEvent[] {
    return merged(lines.between(first, end), events.between(first, end))
  }

  /**
   * Pages of inputs in order of their numbers. Between two pages nothing is held open, so that a recording that is being
   * written is not held up; what was stored meanwhile is read as well.
   */
  function* pages(filter: InputFilter): Generator<RecordedEvent[]> {
    const size = filter.pageSize ?? pageSizeUsual
    const start = (filter.afterSequence ?? 0) + 1
    for (const [first, end] of stretches(filter)) {
      for (let at = Math.max(first, start); at <= Math.min(end, last.get() ?? 0); at += size) {
        const page = (this as { page: typeof readPage }).page(at, Math.min(at + size - 1, end))
        if (page.length > 0) yield page
      }
    }
  }

  /** Numbers [first, last] that can hold inputs of the time asked for. Time runs forwards between two changes of the run or the clock. */
  function stretches({ fromMs, toMs }: InputFilter): [number, number][] {
    if (fromMs === undefined && toMs === undefined) return [[1, Number.MAX_SAFE_INTEGER]]
    return []
  }
}
