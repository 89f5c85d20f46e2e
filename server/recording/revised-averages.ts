import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { Connection } from './database.ts'

/** What an average was before the next zero was known: told again by the lines themselves, so it goes when all is derived anew. */
const byZero = 'next zero'

/** The values of a row, without whether it may still change. */
const valueText = ({ state: _, ...row }: AverageRow): string => JSON.stringify(row)

/** The `average_history` table where the engine writes it: rows that had ended, and changed when the next zero came. */
export function revisedAverages(db: Connection) {
  const isThere = Number(db.pragma('user_version', { simple: true })) >= 2
  const insert = isThere
    ? db.prepare(
        'INSERT INTO average_history (kind, replaced_ms, by, reason, old, new) VALUES (@kind, @atMs, NULL, @reason, @old, @new)',
      )
    : null
  return {
    /** Keeps `old` where `row` says something else than it. */
    keep(
      kind: 'block' | 'rolling',
      old: AverageRow | null,
      row: AverageRow,
      { atMs, reason }: { readonly atMs: number; readonly reason: typeof byZero },
    ): void {
      if (old && valueText(old) !== valueText(row))
        insert?.run({ kind, atMs, reason, old: JSON.stringify(old), new: JSON.stringify(row) })
    },
    clear(): void {
      if (isThere) db.prepare('DELETE FROM average_history WHERE reason = ?').run(byZero)
    },
  }
}
