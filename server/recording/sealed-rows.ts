import type { Connection } from './database.ts'
import { eventTable } from './events.ts'
import { lineTable } from './lines.ts'
import { sealedEvent, sealedLine } from './seal.ts'

/** An input as stored, with its sealed text; nothing of it is taken for granted. */
export interface SealedInput {
  readonly sequence: number
  readonly atMs: number
  readonly stream: string | null
  /** A change of the run or the clock: here the station's time may go back. */
  readonly isClockMark: boolean
  readonly text: string
}

/** The inputs with numbers from `first` to `last`, both included, in order; two with the same number stand beside each other. */
export function sealedRows(db: Connection): (first: number, last: number) => SealedInput[] {
  const lines = lineTable(db)
  const events = eventTable(db)
  return (first, last) => {
    const found = lines.sealedBetween(first, last).map(
      (row): SealedInput => ({
        sequence: row.sequence,
        atMs: row.atMs,
        stream: row.stream,
        isClockMark: false,
        text: sealedLine(row.sequence, row.atMs, row.monotonicMs, row.piece, row.stream, row.hex),
      }),
    )
    const changes = events.rowsBetween(first, last)
    if (changes.length === 0) return found
    for (const { sequence, atMs, monotonicMs, kind, body } of changes) {
      const isClockMark = kind === 'run' || kind === 'clock'
      found.push({
        sequence,
        atMs,
        stream: streamOf(body),
        isClockMark,
        text: sealedEvent(sequence, atMs, monotonicMs, kind, body),
      })
    }
    return found.sort((one, other) => one.sequence - other.sequence)
  }
}

function streamOf(body: string): string | null {
  try {
    const told: unknown = JSON.parse(body)
    return typeof told === 'object' && told !== null && 'stream' in told && typeof told.stream === 'string'
      ? told.stream
      : null
  } catch {
    // A changed body need not be JSON any more: that it was changed is told by the seal.
    return null
  }
}
