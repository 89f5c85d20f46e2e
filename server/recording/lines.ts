import { type Piece, pieces } from '../../protocols/instrument/reader.ts'
import type { LineEvent } from '../engine/events.ts'
import type { Connection } from './database.ts'
import { RecordingTrouble } from './trouble.ts'

type Row = [sequence: number, atMs: number, monotonicMs: number, stream: string, piece: string, bytes: Buffer]
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
      'SELECT sequence, at_ms, monotonic_ms, stream, piece, bytes FROM line WHERE sequence BETWEEN ? AND ? ORDER BY sequence',
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
    between: (first: number, last: number): LineEvent[] => between.all(first, last).map(lineOf),
    sealedBetween: (first: number, last: number): SealedRow[] => sealed.all(first, last),
  }
}

function lineOf([sequence, atMs, monotonicMs, stream, piece, bytes]: Row): LineEvent {
  if (!known.has(piece))
    throw new RecordingTrouble(
      'recording-damaged',
      `line ${sequence}: "${piece}" is no kind of piece; use verify to see what was changed`,
    )
  return { kind: 'line', sequence, stream, atMs, monotonicMs, piece: piece as Piece, bytes }
}
