import { z } from 'zod'
import type { Connection } from './database.ts'
import type { TraceHour } from './recording.ts'
import { storedRow } from './stored-row.ts'
import { bytesOf, singles, stageColumns, type TraceStage } from './trace.ts'

const row = z.tuple([z.number(), z.instanceof(Buffer)])

/** What is kept of one hour of one channel, at one stage of its value: lowest, highest and last of each cell. */
export interface StageHour {
  readonly channel: string
  readonly hourMs: number
  readonly cells: Float32Array
}

/** The table `trace_hour`; no other file writes or reads it. A recording made before there was one, open for reading, has none. */
export function traceHourTable(db: Connection) {
  const exists = db.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'trace_hour'").get() !== undefined
  if (!exists) return { put: (): void => {}, clear: (): void => {}, stage: (): StageHour[] => [] }
  const upsert = db.prepare(
    'INSERT OR REPLACE INTO trace_hour (stream, channel, hour_ms, as_read, corrected, referred) VALUES (?, ?, ?, ?, ?, ?)',
  )
  return {
    put({ stream, channel, hourMs, asRead, corrected, referred }: TraceHour): void {
      upsert.run(stream, channel, hourMs, bytesOf(asRead), bytesOf(corrected), bytesOf(referred))
    },
    clear: (): void => void db.exec('DELETE FROM trace_hour'),
    /** One stage of the hours of one channel that start in [fromMs, toMs), in order. */
    stage(stream: string, channel: string, fromMs: number, toMs: number, stage: TraceStage): StageHour[] {
      const found = db
        .prepare(
          `SELECT hour_ms, ${stageColumns[stage]} FROM trace_hour
           WHERE stream = ? AND channel = ? AND hour_ms >= ? AND hour_ms < ? ORDER BY hour_ms`,
        )
        .raw()
      return found.all(stream, channel, fromMs, toMs).map((each) => {
        const [hourMs, cells] = storedRow(row, each, 'trace_hour')
        return { channel, hourMs, cells: singles(cells) }
      })
    },
  }
}
