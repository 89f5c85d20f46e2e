import type { AverageRow } from '../../protocols/words/blocks.ts'
import { openTemporary } from './database.ts'

type Kind = 'block' | 'rolling'
const rowsPerPage = 1000

/**
 * Averages as an engine tells them, to be gone through in order of their start, as often as is wanted; what is told again
 * replaces the earlier. They lie in a temporary file that no one sees and that goes when this is closed: a month of them
 * would not fit into memory.
 */
export class GatheredAverages {
  /** Those in force, in order of start, average, channel, quantity and unit. */
  readonly blocks: Iterable<AverageRow> = this.#inOrder('block')
  readonly rolling: Iterable<AverageRow> = this.#inOrder('rolling')
  readonly #db = openTemporary(`
    CREATE TABLE average (
      kind TEXT, start_ms REAL, average TEXT, channel TEXT, quantity TEXT, unit TEXT, row TEXT,
      PRIMARY KEY (kind, start_ms, average, channel, quantity, unit)
    ) STRICT, WITHOUT ROWID`)
  readonly #put = this.#db.prepare('INSERT OR REPLACE INTO average VALUES (?, ?, ?, ?, ?, ?, ?)')
  readonly #after = this.#db.prepare<unknown[], Key & { readonly row: string }>(`
    SELECT start_ms AS startMs, average, channel, quantity, unit, row FROM average
    WHERE kind = ? AND (start_ms, average, channel, quantity, unit) > (?, ?, ?, ?, ?)
    ORDER BY start_ms, average, channel, quantity, unit LIMIT ?`)

  constructor() {
    this.#db.exec('BEGIN') // Never committed: nothing of it is to last.
  }

  put(kind: Kind, row: AverageRow): void {
    const { startMs, average, channel, quantity, unit } = row
    this.#put.run(kind, startMs, average, channel, quantity, unit, JSON.stringify(row))
  }

  close(): void {
    this.#db.close()
  }

  #inOrder(kind: Kind): Iterable<AverageRow> {
    const pageAfter = ({ startMs, average, channel, quantity, unit }: Key) =>
      this.#after.all(kind, startMs, average, channel, quantity, unit, rowsPerPage)
    return {
      *[Symbol.iterator]() {
        for (let page = pageAfter(beforeAll); page.length > 0; page = pageAfter(page.at(-1) ?? beforeAll))
          for (const { row } of page) yield JSON.parse(row) as AverageRow
      },
    }
  }
}

interface Key {
  readonly startMs: number
  readonly average: string
  readonly channel: string
  readonly quantity: string
  readonly unit: string
}
const beforeAll: Key = { startMs: Number.NEGATIVE_INFINITY, average: '', channel: '', quantity: '', unit: '' }
