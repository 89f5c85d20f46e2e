import { z } from 'zod'
import { type AverageRow, blockStates } from '../../protocols/words/blocks.ts'
import { valueQuantities } from '../../protocols/words/quantities.ts'
import { units } from '../../protocols/words/units.ts'
import type { Connection } from './database.ts'
import type { AverageChange } from './recording.ts'
import { andGiven, storedRow } from './stored-row.ts'

/** As it was written down; the rest of a row is kept as it stands. */
const average = z
  .string()
  .transform((text): unknown => JSON.parse(text))
  .pipe(
    z.looseObject({
      channel: z.string(),
      quantity: z.enum(valueQuantities),
      unit: z.enum(units),
      average: z.string(),
      startMs: z.number(),
      endMs: z.number(),
      mean: z.number().nullable(),
      valid: z.boolean(),
      state: z.enum(blockStates),
    }),
  )
  .transform((row) => row as unknown as AverageRow)

const row = z.object({
  kind: z.enum(['block', 'rolling']),
  replacedMs: z.number(),
  by: z.string().nullable(),
  reason: z.string(),
  old: average,
  new: average.nullable(),
})

const table = 'average_history'
const selected = `SELECT number, kind, replaced_ms AS replacedMs, by, reason, old, new FROM ${table}`

/** Which changes; what is not given does not select. */
export interface HistoryFilter {
  readonly kind?: AverageChange['kind']
  /** Start of the average that was changed. */
  readonly startMs?: number
}
const clauses = { kind: 'kind = @kind', startMs: "old ->> '$.startMs' = @startMs" }

/** What an average was before the next zero was known: told again by the lines themselves, so it goes when all is derived anew. */
const byZero = 'next zero'

/** The values of a row, without whether it may still change. */
const valueText = ({ state: _, ...row }: AverageRow): string => JSON.stringify(row)

/**
 * The table `average_history`, in the order of the changes; no other file writes or reads it. Not sealed; what persons changed is
 * kept when all else that was derived is formed anew.
 */
export function averageHistoryTable(db: Connection) {
  const exists = Number(db.pragma('user_version', { simple: true })) >= 2
  const insert = exists
    ? db.prepare(
        'INSERT INTO average_history (kind, replaced_ms, by, reason, old, new) VALUES (@kind, @replacedMs, @by, @reason, @old, @new)',
      )
    : null
  const put = (change: AverageChange): void =>
    void insert?.run({
      ...change,
      old: JSON.stringify(change.old),
      new: change.new === null ? null : JSON.stringify(change.new),
    })
  return {
    insert: put,
    /** Keeps `old`, a row that had ended, where `row` says something else than it since the next zero came. */
    keep(
      kind: 'block' | 'rolling',
      old: AverageRow | null,
      row: AverageRow,
      { atMs, reason }: { readonly atMs: number; readonly reason: typeof byZero },
    ): void {
      if (old && valueText(old) !== valueText(row)) put({ kind, replacedMs: atMs, by: null, reason, old, new: row })
    },
    /** What the lines themselves will tell again. */
    clear(): void {
      if (exists) db.prepare('DELETE FROM average_history WHERE reason = ? AND by IS NULL').run(byZero)
    },
    count: (): number => (exists ? Number(db.prepare('SELECT count(*) FROM average_history').pluck().get()) : 0),
    /** In order, `size` changes in memory at once; where `of` is given, those of averages of this kind and start. */
    *pages(size: number, of: HistoryFilter = {}): Generator<AverageChange[]> {
      if (!exists) return
      const after = db.prepare(
        `${selected} WHERE number > @number ${andGiven({ ...of }, clauses)} ORDER BY number LIMIT @size`,
      )
      for (let number = 0; ; ) {
        const found = after.all({ ...of, number, size }) as { number: number }[]
        if (found.length === 0) return
        yield found.map((each) => storedRow(row, each, table))
        number = found.at(-1)?.number ?? number
      }
    },
    /** The newest `most`, in order. */
    newest(most: number): AverageChange[] {
      if (!exists) return []
      const found = db.prepare(`${selected} ORDER BY number DESC LIMIT ?`).all(most)
      return found.map((each) => storedRow(row, each, table)).reverse()
    },
  }
}
