import { z } from 'zod'
import { type NoticeOutput, noticeCodes } from '../engine/outputs.ts'
import type { Connection } from './database.ts'
import { storedRow } from './stored-row.ts'

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
  return {
    insert: (notice: Notice): void => void insert.run(notice),
    clear: (): void => void db.exec('DELETE FROM notice'),
    read: (): Notice[] =>
      db
        .prepare('SELECT code, stream, channel, at_ms AS atMs, text FROM notice ORDER BY number')
        .all()
        .map((each) => storedRow(row, each, 'notice')),
  }
}
