import { z } from 'zod'
import { type AverageRow, blockStates } from '../../protocols/words/blocks.ts'
import { valueQuantities } from '../../protocols/words/quantities.ts'
import { units } from '../../protocols/words/units.ts'
import type { Connection } from './database.ts'
import type { AverageChange } from './recording.ts'
import { storedRow } from './stored-row.ts'

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

/** The table `average_history`, in the order of the changes; no other file writes or reads it. Not sealed, and kept when all else that was derived is formed anew. */
export function averageHistoryTable(db: Connection) {
  const exists = Number(db.pragma('user_version', { simple: true })) >= 2
  const insert = exists
    ? db.prepare(
        'INSERT INTO average_history (kind, replaced_ms, by, reason, old, new) VALUES (@kind, @replacedMs, @by, @reason, @old, @new)',
      )
    : null
  return {
    insert(change: AverageChange): void {
      insert?.run({
        ...change,
        old: JSON.stringify(change.old),
        new: change.new === null ? null : JSON.stringify(change.new),
      })
    },
    read(): AverageChange[] {
      if (!exists) return []
      const found = db.prepare(
        'SELECT kind, replaced_ms AS replacedMs, by, reason, old, new FROM average_history ORDER BY number',
      )
      return found.all().map((each) => storedRow(row, each, 'average_history'))
    },
  }
}
