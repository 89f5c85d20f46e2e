import { type Piece, pieces } from '../../protocols/instrument/reader.ts'
import type { LineEvent } from '../engine/events.ts'
import type { Connection } from './database.ts'
import { RecordingTrouble } from './trouble.ts'

type Row = [sequence: number, atMs: number, monotonicMs: number, stream: string, piece: string, hex: string]
const known: ReadonlySet<string> = new Set(pieces)

/** One line as `seal.ts` takes it. */
export interface SealedRow {
  readonly sequence: number
  readonly atMs: number
  readonly monotonicMs: number
  readonly piece: string
  readonly stream: string
  readonly hex: string
}

/** The `line` table; no other file writes or reads it. Times in ms, `at_ms` since 1970 UTC; `bytes` as they came, terminator included. */
export function lineTable(db: Connection) {
  const insert = db.prepare(
    'INSERT INTO line (sequence, stream, at_ms, monotonic_ms, piece, bytes) VALUES (?, ?, ?, ?, ?, ?)',
  )
  const between = db
    .prepare<[number, number], Row>(
      'SELECT sequence, at_ms, monotonic_ms, stream, piece, hex(bytes) FROM line WHERE sequence BETWEEN ? AND ? ORDER BY sequence',
    )
    .raw()
  const sealed = db.prepare<[number, number], SealedRow>(
    'SELECT sequence, at_ms AS atMs, monotonic_ms AS monotonicMs, piece, stream, lower(hex(bytes)) AS hex FROM line WHERE sequence BETWEEN ? AND ? ORDER BY sequence',
  )
  return {
    insert(sequence: number, stream: string, atMs: number, monotonicMs: number, piece: Piece, bytes: Uint8Array): void {
      insert.run(sequence, stream, atMs, monotonicMs, piece, bytes)
    },
    /** Lines from `first` to `last`, both included, in order. Checks only what the database does not: the word of the piece. */
    between: (first: number, last: number): LineEvent[] => linesOf(between.all(first, last)),
    sealedBetween: (first: number, last: number): SealedRow[] => sealed.all(first, last),
  }
}

/** The bytes of all rows lie in one memory: making one for each line, and clearing it away, takes longer than reading them from text. */
function linesOf(rows: readonly Row[]): LineEvent[] {
  let size = 0
  for (const row of rows) size += row[5].length / 2
  const memory = Buffer.allocUnsafeSlow(size)
  let from = 0
  return rows.map(([sequence, atMs, monotonicMs, stream, piece, hex]) => {
    if (!known.has(piece))
      throw new RecordingTrouble(
        'recording-damaged',
        `line ${sequence}: "${piece}" is no kind of piece; use verify to see what was changed`,
      )
    const bytes = memory.subarray(from, from + memory.write(hex, from, 'hex'))
    from += bytes.length
    return { kind: 'line', sequence, stream, atMs, monotonicMs, piece: piece as Piece, bytes }
  })
}
