import type { Connection } from './database.ts'
import { RecordingTrouble } from './trouble.ts'

/**
 * The `writer` table: one row, not sealed; no other file writes or reads it. Who opens a recording for writing puts a token
 * of its own there, so that an earlier writer that lives on notices and acknowledges nothing any more.
 */
export function writerTable(db: Connection) {
  const token = db.prepare<[], string>('SELECT token FROM writer').pluck()
  const derived = db.prepare<[], number>('SELECT derived FROM writer').pluck()
  const closed = db.prepare<[], number>('SELECT closed FROM writer').pluck()
  const setDerived = db.prepare('UPDATE writer SET derived = ?')
  const isOld = Number(db.pragma('user_version', { simple: true })) < 5
  const deriving = isOld ? null : db.prepare<[], number>('SELECT deriving FROM writer').pluck()
  const setDeriving = isOld ? null : db.prepare('UPDATE writer SET deriving = ?')
  return {
    make: (own: string): void =>
      void db.prepare('INSERT INTO writer (only, token, derived, closed) VALUES (1, ?, 0, 0)').run(own),
    takeOver: (own: string): void => void db.prepare('UPDATE writer SET token = ?, closed = 0').run(own),
    check(own: string): void {
      if (token.get() !== own)
        throw new RecordingTrouble(
          'recording-taken-over',
          'another program writes on this recording; this one stops: let only one station use a data folder',
        )
    },
    /** How many derived steps are in. */
    derivedUpTo: (): number => derived.get() ?? 0,
    setDerivedUpTo: (count: number): void => void setDerived.run(count),
    /** Whether something derived is missing: while it is derived anew, for good where that was interrupted, or where rows were not taken. */
    isDeriving: (): boolean => deriving?.get() === 1,
    setDeriving: (is: boolean): void => void setDeriving?.run(is ? 1 : 0),
    /** own: null closes it whoever the writer is. */
    markClosed: (own: string | null): void =>
      void db.prepare('UPDATE writer SET closed = 1 WHERE token = ifnull(?, token)').run(own),
    /** Whether the last writer closed it: otherwise it is being written, or its writer was killed. */
    isClosed: (): boolean => closed.get() === 1,
  }
}
