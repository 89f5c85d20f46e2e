import type { LineEvent, RecordedEvent } from '../engine/events.ts'
import type { Connection } from './database.ts'
import { eventTable, type NumberedChange } from './events.ts'
import { lineTable } from './lines.ts'

/** Which inputs; what is not given does not select. Times are the station's, ms, half-open [fromMs, toMs). */
export interface InputFilter {
  /** Only inputs with a greater number. */
  readonly afterSequence?: number
  /** Only inputs with this number or a smaller one. */
  readonly upToSequence?: number
  readonly fromMs?: number
  readonly toMs?: number
  /** Inputs read at once; they are in memory together. */
  readonly pageSize?: number
}
const pageSizeUsual = 2000

const eitherTable = (columns: string, where: string, order: 'ASC' | 'DESC'): string =>
  `SELECT ${columns} FROM line ${where} UNION ALL SELECT ${columns} FROM event ${where} ORDER BY sequence ${order} LIMIT 1`

/** Number and time of the newest input; null when there is none. */
export const newestInput = (db: Connection): { sequence: number; atMs: number } | null =>
  db.prepare<[], { sequence: number; atMs: number }>(eitherTable('sequence, at_ms AS atMs', '', 'DESC')).get() ?? null

/** Station time of the newest input that is no amendment: a run does not last longer for what is said of it afterwards. */
export function newestLived(db: Connection): number | null {
  const isAmendment = ['exclude', 'check', 'withdraw']
    .map((told) => `body LIKE '%"action":{"do":"${told}"%'`)
    .join(' OR ')
  const found = db
    .prepare<[], { atMs: number }>(
      `SELECT atMs FROM (SELECT * FROM (SELECT sequence, at_ms AS atMs FROM line ORDER BY sequence DESC LIMIT 1)
       UNION ALL SELECT * FROM (SELECT sequence, at_ms AS atMs FROM event WHERE NOT (kind = 'operator' AND (${isAmendment})) ORDER BY sequence DESC LIMIT 1))
       ORDER BY sequence DESC LIMIT 1`,
    )
    .get()
  return found?.atMs ?? null
}

/**
 * Pages of inputs, lines and events in one order, as the engine was given them. Between two pages nothing is held open, so
 * that a recording that is being written is not held up; what was stored meanwhile is read as well. O(page) memory; the
 * start of a time is found by halving, since time runs forwards between two changes of the run or the clock.
 */
export function* inputPages(db: Connection, filter: InputFilter): Generator<RecordedEvent[]> {
  const lines = lineTable(db)
  const events = eventTable(db)
  // Both tables as of one moment: a batch that comes in between is not seen by half.
  const pageOf = db.transaction((first: number, last: number) =>
    merged(lines.between(first, last), events.between(first, last)),
  )
  const { afterSequence = 0, upToSequence = Infinity, pageSize = pageSizeUsual } = filter
  const { fromMs = -Infinity, toMs = Infinity } = filter
  const isTimed = fromMs !== -Infinity || toMs !== Infinity
  for (const [first, endOfStretch] of isTimed ? stretches(db, fromMs, toMs) : [[1, Infinity] as const]) {
    const end = Math.min(endOfStretch, upToSequence + 1)
    for (let at = Math.max(first, afterSequence + 1); at < Math.min(end, endOf(db)); at += pageSize) {
      const page = pageOf(at, Math.min(at + pageSize, end) - 1)
      const wanted = isTimed ? page.filter(({ atMs }) => atMs >= fromMs && atMs < toMs) : page
      if (wanted.length > 0) yield wanted
    }
  }
}

/** One more than the newest number. */
const endOf = (db: Connection): number => (newestInput(db)?.sequence ?? 0) + 1

/** Half-open ranges of numbers that hold the inputs of [fromMs, toMs). */
function stretches(db: Connection, fromMs: number, toMs: number): (readonly [first: number, end: number])[] {
  const starts = [
    1,
    ...eventTable(db)
      .runAndClock()
      .map(({ sequence }) => sequence),
    endOf(db),
  ]
  const timeAt = db
    .prepare<{ from: number; end: number }, number>(
      `SELECT at FROM (${eitherTable('sequence, at_ms AS at', 'WHERE sequence >= @from AND sequence < @end', 'ASC')})`,
    )
    .pluck()
  /** The first number in [start, end) whose time is `ms` or later; `end` when there is none. */
  const firstFrom = (start: number, end: number, ms: number): number => {
    let [low, high] = [start, end]
    while (low < high) {
      const middle = Math.floor((low + high) / 2)
      const at = timeAt.get({ from: middle, end })
      if (at !== undefined && at < ms) low = middle + 1
      else high = middle
    }
    return low
  }
  return starts.slice(1).flatMap((end, index) => {
    const start = starts[index] ?? end
    const range = [firstFrom(start, end, fromMs), firstFrom(start, end, toMs)] as const
    return range[0] < range[1] ? [range] : []
  })
}

/** Two lists in order of their numbers become one; most pages hold no event at all. */
function merged(lines: LineEvent[], changes: readonly NumberedChange[]): RecordedEvent[] {
  if (changes.length === 0) return lines
  const all: RecordedEvent[] = []
  let next = 0
  for (const { sequence, event } of changes) {
    for (let line = lines[next]; line && line.sequence < sequence; line = lines[next]) {
      all.push(line)
      next += 1
    }
    all.push(event)
  }
  return all.concat(lines.slice(next))
}
