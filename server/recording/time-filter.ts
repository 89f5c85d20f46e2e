import { z } from 'zod'

/** Rows of [fromMs, toMs); `most`: so many of the newest of them at least, all of an instant or none. What is not given does not select. */
export interface TimeFilter {
  readonly fromMs?: number
  readonly toMs?: number
  readonly most?: number
}

/** The condition of a `TimeFilter` on a table with `at_ms`, and of another one beside it; its values go by name, from `timeValues`. */
export function withinTime(table: string, also = 'TRUE'): string {
  const within = `at_ms >= @fromMs AND at_ms < @toMs AND ${also}`
  return `${within} AND at_ms >= ifnull((SELECT at_ms FROM ${table} WHERE ${within} ORDER BY at_ms DESC LIMIT 1 OFFSET @most - 1), @fromMs)`
}

export const timeValues = ({
  fromMs = Number.NEGATIVE_INFINITY,
  toMs = Number.POSITIVE_INFINITY,
  most = Number.MAX_SAFE_INTEGER,
}: TimeFilter) => ({ fromMs, toMs, most })

/** How many there are, whatever `most` says. */
export const countedWithin = (table: string, also = 'TRUE'): string =>
  `SELECT count(*) FROM ${table} WHERE at_ms >= @fromMs AND at_ms < @toMs AND ${also} AND @most > 0`

/** Rows of a kind in one column of time: the first, the last, and how many. */
export const columnCount = z.object({ kind: z.string(), atMs: z.number(), endMs: z.number(), count: z.number() })

export interface ColumnsOfTime {
  readonly fromMs: number
  readonly toMs: number
  readonly columnMs: number
}

/** Rows of [fromMs, toMs) counted by columns of `columnMs` from `fromMs` on, and by what `kind` tells them apart by. */
export const countedByColumn = (table: string, kind: string, also = 'TRUE'): string =>
  `SELECT ${kind} AS kind, min(at_ms) AS atMs, max(at_ms) AS endMs, count(*) AS count FROM ${table}
   WHERE at_ms >= @fromMs AND at_ms < @toMs AND ${also} GROUP BY CAST((at_ms - @fromMs) / @columnMs AS INTEGER), ${kind}`
