import { z } from 'zod'
import {
  type AlarmTransition,
  alarmClasses,
  alarmInputs,
  alarmPriorities,
  alarmStates,
} from '../../protocols/words/alarms.ts'
import type { Connection } from './database.ts'
import { storedRow } from './stored-row.ts'

const text = z.string().nullable()
const row = z.object({
  alarm: z.string(),
  class: z.enum(alarmClasses),
  cause: z.string(),
  stream: text,
  channel: text,
  priority: z.enum(alarmPriorities),
  atMs: z.number(),
  from: z.enum(alarmStates),
  to: z.enum(alarmStates),
  input: z.enum(alarmInputs),
  active: z.int().transform((value) => value === 1),
  value: z.number().nullable(),
  limit: z.number().nullable(),
  unit: text,
  by: text,
  note: text,
  untilMs: z.number().nullable(),
})

/** The `alarm_transition` table, in the order in which they happened; no other file writes or reads it. */
export function alarmTransitionTable(db: Connection) {
  const insert = db.prepare(`INSERT INTO alarm_transition
    (alarm, class, cause, stream, channel, priority, at_ms, from_state, to_state, input, active, value, limit_value, unit, by, note, until_ms)
    VALUES (@alarm, @class, @cause, @stream, @channel, @priority, @atMs, @from, @to, @input, @active, @value, @limit, @unit, @by, @note, @untilMs)`)
  return {
    insert: (transition: AlarmTransition): void =>
      void insert.run({ ...transition, active: transition.active ? 1 : 0 }),
    clear: (): void => void db.exec('DELETE FROM alarm_transition'),
    read(): AlarmTransition[] {
      const found =
        db.prepare(`SELECT alarm, class, cause, stream, channel, priority, at_ms AS atMs, from_state AS "from", to_state AS "to", input, active,
        value, limit_value AS "limit", unit, by, note, until_ms AS untilMs FROM alarm_transition ORDER BY number`)
      return found.all().map((each) => storedRow(row, each, 'alarm_transition'))
    },
  }
}
