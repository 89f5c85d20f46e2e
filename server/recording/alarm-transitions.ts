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
import {
  type ColumnsOfTime,
  columnCount,
  countedByColumn,
  countedWithin,
  type TimeFilter,
  timeValues,
  withinTime,
} from './time-filter.ts'

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

const transitionKind = row.pick({ input: true, class: true })

/** The `alarm_transition` table, in the order in which they happened; no other file writes or reads it. */
export function alarmTransitionTable(db: Connection) {
  const insert = db.prepare(`INSERT INTO alarm_transition
    (alarm, class, cause, stream, channel, priority, at_ms, from_state, to_state, input, active, value, limit_value, unit, by, note, until_ms)
    VALUES (@alarm, @class, @cause, @stream, @channel, @priority, @atMs, @from, @to, @input, @active, @value, @limit, @unit, @by, @note, @untilMs)`)
  const counted = db.prepare(countedWithin('alarm_transition')).pluck()
  return {
    insert: (transition: AlarmTransition): void =>
      void insert.run({ ...transition, active: transition.active ? 1 : 0 }),
    clear: (): void => void db.exec('DELETE FROM alarm_transition'),
    read(filter: TimeFilter = {}): AlarmTransition[] {
      const found =
        db.prepare(`SELECT alarm, class, cause, stream, channel, priority, at_ms AS atMs, from_state AS "from", to_state AS "to", input, active,
        value, limit_value AS "limit", unit, by, note, until_ms AS untilMs FROM alarm_transition WHERE ${withinTime('alarm_transition')} ORDER BY number`)
      return found.all(timeValues(filter)).map((each) => storedRow(row, each, 'alarm_transition'))
    },
    count: (filter: TimeFilter): number => Number(counted.get(timeValues(filter))),
    /** Told apart by what decides how much they matter: input and class. */
    byColumn: (columns: ColumnsOfTime) =>
      db
        .prepare(countedByColumn('alarm_transition', "input || ' ' || class"))
        .all(columns)
        .map((each) => {
          const { kind, ...found } = storedRow(columnCount, each, 'alarm_transition')
          const [input, alarmClass] = kind.split(' ')
          return { ...found, kind: storedRow(transitionKind, { input, class: alarmClass }, 'alarm_transition') }
        }),
  }
}
