import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import type { RecordingReader } from '../../recording/recording-reader.ts'

/** Averages are looked up by so much of their start time at once: a few milliseconds, since a running station waits meanwhile. */
const chunkMs = 300_000

/** All averages are gone through by so much. */
const walkMs = 3_600_000

export interface StoredAverage {
  readonly kind: 'block' | 'rolling'
  readonly row: AverageRow
}

interface Chunk {
  readonly startMs: number
  readonly rows: ReadonlyMap<string, AverageRow>
}

/** The averages that a recording holds, one by one. They are asked for about in order: of each length, the newest chunk is kept. */
export class StoredAverages {
  private readonly reader: RecordingReader
  private readonly chunks = new Map<string, Chunk>()

  constructor(reader: RecordingReader) {
    this.reader = reader
  }

  /** What is stored of the same average; undefined where nothing is. */
  of(kind: 'block' | 'rolling', row: AverageRow): AverageRow | undefined {
    const place = `${kind}/${row.average}`
    const startMs = Math.floor(row.startMs / chunkMs) * chunkMs
    let chunk = this.chunks.get(place)
    if (chunk?.startMs !== startMs) {
      const filter = { average: row.average, fromMs: startMs, toMs: startMs + chunkMs }
      const rows = kind === 'block' ? this.reader.blocks(filter) : this.reader.rolling(filter)
      chunk = { startMs, rows: new Map(rows.map((stored) => [averageKey(stored), stored])) }
      this.chunks.set(place, chunk)
    }
    return chunk.rows.get(averageKey(row))
  }

  /** How many there are. */
  count(): number {
    return this.reader.averagesInAll()
  }

  /** All that is stored, wherever it lies in time, a page at a time. */
  *pages(): Generator<readonly StoredAverage[]> {
    for (const kind of ['block', 'rolling'] as const)
      for (const page of this.reader.averagePages(kind)) yield page.map((row) => ({ kind, row }))
  }

  /** All that is stored, by the start of averages, a chunk at a time. */
  *all(fromMs: number, toMs: number): Generator<readonly StoredAverage[]> {
    for (let startMs = fromMs; startMs <= toMs; startMs += walkMs) {
      const filter = { fromMs: startMs, toMs: Math.min(startMs + walkMs, toMs + 1) }
      yield [
        ...this.reader.blocks(filter).map((row) => ({ kind: 'block', row }) as const),
        ...this.reader.rolling(filter).map((row) => ({ kind: 'rolling', row }) as const),
      ]
    }
  }
}
