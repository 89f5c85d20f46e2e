import { z } from 'zod'
import { type NoticeOutput, noticeCodes } from '../engine/outputs.ts'
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

export type Notice = Omit<NoticeOutput, 'kind'>
const row = z.object({
  code: z.enum(noticeCodes),
  stream: z.string().nullable(),
  channel: z.string().nullable(),
  atMs: z.number(),
  text: z.string(),
})

/** The `notice` table, in the order in which they came; no other file writes or reads it. */
export function noticeTable(db: Connection) {
  const insert = db.prepare(
    'INSERT INTO notice (code, stream, channel, at_ms, text) VALUES (@code, @stream, @channel, @atMs, @text)',
  )
  const counted = db.prepare(countedWithin('notice')).pluck()
  return {
    insert: (notice: Notice): void => void insert.run(notice),
    clear: (): void => void db.exec('DELETE FROM notice'),
    read: (filter: TimeFilter = {}): Notice[] =>
      db
        .prepare(
          `SELECT code, stream, channel, at_ms AS atMs, text FROM notice WHERE ${withinTime('notice')} ORDER BY number`,
        )
        .all(timeValues(filter))
        .map((each) => storedRow(row, each, 'notice')),
    count: (filter: TimeFilter): number => Number(counted.get(timeValues(filter))),
    byColumn: (columns: ColumnsOfTime) =>
      db
        .prepare(countedByColumn('notice', 'code'))
        .all(columns)
        .map((each) => storedRow(columnCount.extend({ kind: row.shape.code }), each, 'notice')),
  }
}
