import { z } from 'zod'
import type { Connection } from './database.ts'
import type { TraceHour } from './recording.ts'
import { storedRow } from './stored-row.ts'
import { bytesOf, singles } from './trace.ts'

const row = z.object({
  channel: z.string(),
  hourMs: z.number(),
  asRead: z.instanceof(Buffer),
  corrected: z.instanceof(Buffer),
  referred: z.instanceof(Buffer),
})

/** The table `trace_hour`; no other file writes or reads it. A recording made before there was one, open for reading, has none. */
export function traceHourTable(db: Connection) {
  const exists = db.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'trace_hour'").get() !== undefined
  if (!exists) return { put: (): void => {}, clear: (): void => {}, read: (): TraceHour[] => [] }
  const upsert = db.prepare(
    'INSERT OR REPLACE INTO trace_hour (stream, channel, hour_ms, as_read, corrected, referred) VALUES (?, ?, ?, ?, ?, ?)',
  )
  const hours = db.prepare(
    `SELECT channel, hour_ms AS hourMs, as_read AS asRead, corrected, referred FROM trace_hour
     WHERE stream = ? AND channel = ? AND hour_ms >= ? AND hour_ms < ? ORDER BY hour_ms`,
  )
  return {
    put({ stream, channel, hourMs, asRead, corrected, referred }: TraceHour): void {
      upsert.run(stream, channel, hourMs, bytesOf(asRead), bytesOf(corrected), bytesOf(referred))
    },
    clear: (): void => void db.exec('DELETE FROM trace_hour'),
    /** The hours of one channel that start in [fromMs, toMs), in order. */
    read(stream: string, channel: string, fromMs: number, toMs: number): TraceHour[] {
      return hours.all(stream, channel, fromMs, toMs).map((found) => {
        const { asRead, corrected, referred, ...rest } = storedRow(row, found, 'trace_hour')
        return { stream, ...rest, asRead: singles(asRead), corrected: singles(corrected), referred: singles(referred) }
      })
    },
  }
}
