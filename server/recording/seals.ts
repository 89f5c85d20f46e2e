import type { Connection } from './database.ts'
import type { Seal } from './seal.ts'

/** The `seal` table; no other file writes or reads it. */
export function sealTable(db: Connection) {
  const columns =
    'number, first_sequence AS firstSequence, last_sequence AS lastSequence, previous, hash, made_ms AS madeMs'
  const insert = db.prepare(
    'INSERT INTO seal (number, first_sequence, last_sequence, previous, hash, made_ms) VALUES (@number, @firstSequence, @lastSequence, @previous, @hash, @madeMs)',
  )
  const newest = db.prepare<[], Seal>(`SELECT ${columns} FROM seal ORDER BY number DESC LIMIT 1`)
  const after = db.prepare<[number, number], Seal>(
    `SELECT ${columns} FROM seal WHERE number > ? ORDER BY number LIMIT ?`,
  )
  return {
    insert: (seal: Seal): void => void insert.run(seal),
    newest: (): Seal | null => newest.get() ?? null,
    after: (number: number, limit: number): Seal[] => after.all(number, limit),
  }
}
