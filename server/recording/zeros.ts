import { z } from 'zod'
import type { ZeroOutput } from '../engine/outputs.ts'
import type { Connection } from './database.ts'
import { storedRow } from './stored-row.ts'
import { countedWithin, type TimeFilter, timeValues, withinTime } from './time-filter.ts'

export type Zero = Omit<ZeroOutput, 'kind'>
const row = z.object({
  channel: z.string(),
  atMs: z.number(),
  mean: z.number(),
  standardDeviation: z.number().nullable(),
  count: z.number(),
  used: z.int().transform((value) => value === 1),
  inUse: z.number().nullable(),
  clean: z.int().transform((value) => value === 1),
  middleMs: z.number(),
})

/** The `zero` table: the drift record; no other file writes or reads it. A channel has one zero at a time. */
export function zeroTable(db: Connection) {
  const isOld = Number(db.pragma('user_version', { simple: true })) < 4
  // A recording of an earlier version is only ever read: what is written to is brought up to date as it is opened.
  const upsert = isOld
    ? null
    : db.prepare(
        `INSERT OR REPLACE INTO zero (channel, at_ms, mean, standard_deviation, count, used, in_use, clean, middle_ms)
         VALUES (@channel, @atMs, @mean, @standardDeviation, @count, @used, @inUse, @clean, @middleMs)`,
      )
  const added = isOld
    ? 'NULL AS inUse, 1 AS clean, at_ms AS middleMs'
    : 'in_use AS inUse, clean, ifnull(middle_ms, at_ms) AS middleMs'
  const counted = db.prepare(countedWithin('zero')).pluck()
  return {
    put: (zero: Zero): void => void upsert?.run({ ...zero, used: zero.used ? 1 : 0, clean: zero.clean ? 1 : 0 }),
    clear: (): void => void db.exec('DELETE FROM zero'),
    read(filter: TimeFilter = {}): Zero[] {
      const found = db.prepare(
        `SELECT channel, at_ms AS atMs, mean, standard_deviation AS standardDeviation, count, used, ${added} FROM zero WHERE ${withinTime('zero')} ORDER BY at_ms, channel`,
      )
      return found.all(timeValues(filter)).map((each) => storedRow(row, each, 'zero'))
    },
    count: (filter: TimeFilter): number => Number(counted.get(timeValues(filter))),
  }
}
