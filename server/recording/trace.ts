import { z } from 'zod'
import type { Connection } from './database.ts'
import type { TraceMinute } from './recording.ts'
import { storedRow } from './stored-row.ts'

const minuteRow = z.object({ minuteMs: z.number(), offsets: z.instanceof(Buffer) })
const channelRow = z.object({
  channel: z.string(),
  asRead: z.instanceof(Buffer),
  corrected: z.instanceof(Buffer),
  referred: z.instanceof(Buffer),
})

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
  const channels = db.prepare(
    'SELECT channel, as_read AS asRead, corrected, referred FROM trace_channel WHERE stream = ? AND minute_ms = ? ORDER BY place',
  )
  return {
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
    /** The minutes of one stream that start in [fromMs, toMs), in order. */
    read(stream: string, fromMs: number, toMs: number): TraceMinute[] {
      return minutes.all(stream, fromMs, toMs).map((found) => {
        const { minuteMs, offsets } = storedRow(minuteRow, found, 'trace_minute')
        const columns = channels.all(stream, minuteMs).map((each) => {
          const { channel, asRead, corrected, referred } = storedRow(channelRow, each, 'trace_channel')
          return { channel, asRead: singles(asRead), corrected: singles(corrected), referred: singles(referred) }
        })
        return { stream, minuteMs, offsetsMs: new Float64Array(aligned(offsets, 8)), channels: columns }
      })
    },
  }
}

/** Numbers as the bytes of a column. */
export const bytesOf = (values: Float64Array | Float32Array): Uint8Array =>
  new Uint8Array(values.buffer, values.byteOffset, values.byteLength)
/** A column of single precision numbers. */
export const singles = (bytes: Buffer): Float32Array => new Float32Array(aligned(bytes, 4))
/** A copy on its own, since a view of numbers must begin on their boundary; a torn last value is left out. */
const aligned = (bytes: Buffer, size: number): ArrayBuffer => {
  const whole = bytes.length - (bytes.length % size)
  return new Uint8Array(bytes.subarray(0, whole)).buffer
}
