import { z } from 'zod'
import type { Connection } from './database.ts'
import type { TraceMinute } from './recording.ts'
import { storedRow } from './stored-row.ts'

const minuteRow = z.object({ minuteMs: z.number(), offsets: z.instanceof(Buffer) })
const firstRow = z.object({ minuteMs: z.number().nullable() })
const stageRow = z.tuple([z.number(), z.string(), z.instanceof(Buffer)])

export type TraceStage = 'asRead' | 'corrected' | 'referred'
export const stageColumns = { asRead: 'as_read', corrected: 'corrected', referred: 'referred' } as const
/** What one channel gave in one minute, at one stage of its value. */
export interface StageMinute {
  readonly minuteMs: number
  readonly offsetsMs: Float64Array
  readonly channel: string
  readonly values: Float32Array
}

/**
 * The tables `trace_minute` and `trace_channel`; no other file writes or reads them. Offsets are doubles, values single
 * precision numbers, both little-endian (as every machine that Node 20 runs on has them).
 */
export function traceTable(db: Connection) {
  const removeChannels = db.prepare('DELETE FROM trace_channel WHERE stream = ? AND minute_ms = ?')
  const upsert = db.prepare(
    'INSERT OR REPLACE INTO trace_minute (stream, minute_ms, readings, offsets_ms) VALUES (?, ?, ?, ?)',
  )
  const insert = db.prepare(
    'INSERT INTO trace_channel (stream, minute_ms, place, channel, as_read, corrected, referred) VALUES (?, ?, ?, ?, ?, ?, ?)',
  )
  const minutes = db.prepare(
    'SELECT minute_ms AS minuteMs, offsets_ms AS offsets FROM trace_minute WHERE stream = ? AND minute_ms >= ? AND minute_ms < ? ORDER BY minute_ms',
  )
  const first = db.prepare(
    'SELECT min(minute_ms) AS minuteMs FROM trace_minute WHERE stream = ? AND minute_ms >= ? AND minute_ms < ?',
  )
  return {
    /** When the first minute begins that starts in [fromMs, toMs). */
    minuteFrom: (stream: string, fromMs: number, toMs: number): number | null =>
      storedRow(firstRow, first.get(stream, fromMs, toMs), 'trace_minute').minuteMs,
    /**
     * One stage of the values of some channels, for charts: the minutes that start in [fromMs, toMs), in order. Nothing else
     * of the minutes is read, and they are read one after the other as they lie in the file.
     */
    *stage(
      stream: string,
      fromMs: number,
      toMs: number,
      wanted: readonly string[],
      stage: TraceStage,
    ): Generator<StageMinute> {
      const found = db
        .prepare(
          `SELECT minute_ms, channel, ${stageColumns[stage]} FROM trace_channel
           WHERE stream = ? AND minute_ms >= ? AND minute_ms < ? AND channel IN (SELECT value FROM json_each(?)) ORDER BY minute_ms, place`,
        )
        .raw()
      const offsets = new Map(
        minutes.all(stream, fromMs, toMs).map((each) => {
          const minute = storedRow(minuteRow, each, 'trace_minute')
          return [minute.minuteMs, doubles(minute.offsets)]
        }),
      )
      for (const each of found.iterate(stream, fromMs, toMs, JSON.stringify(wanted))) {
        const [minuteMs, channel, values] = storedRow(stageRow, each, 'trace_channel')
        const offsetsMs = offsets.get(minuteMs)
        if (offsetsMs) yield { minuteMs, offsetsMs, channel, values: singles(values) }
      }
    },
    put({ stream, minuteMs, offsetsMs, channels }: TraceMinute): void {
      removeChannels.run(stream, minuteMs)
      upsert.run(stream, minuteMs, offsetsMs.length, bytesOf(offsetsMs))
      channels.forEach((each, place) => {
        insert.run(
          stream,
          minuteMs,
          place,
          each.channel,
          bytesOf(each.asRead),
          bytesOf(each.corrected),
          bytesOf(each.referred),
        )
      })
    },
    clear: (): void => void db.exec('DELETE FROM trace_minute; DELETE FROM trace_channel'),
  }
}

/** Numbers as the bytes of a column. */
export const bytesOf = (values: Float64Array | Float32Array): Uint8Array =>
  new Uint8Array(values.buffer, values.byteOffset, values.byteLength)
/** A column of single precision numbers; a torn last value is left out. */
export const singles = (bytes: Buffer): Float32Array => {
  const whole = onBoundary(bytes, 4)
  return new Float32Array(whole.buffer, whole.byteOffset, Math.floor(bytes.length / 4))
}
const doubles = (bytes: Buffer): Float64Array => {
  const whole = onBoundary(bytes, 8)
  return new Float64Array(whole.buffer, whole.byteOffset, Math.floor(bytes.length / 8))
}
/** The bytes themselves, or a copy where they do not begin on the boundary that a view of numbers needs. */
const onBoundary = (bytes: Buffer, size: number): Uint8Array =>
  bytes.byteOffset % size === 0 ? bytes : new Uint8Array(bytes)
