/** Alarm states. Source: the state model of IEC 62682 / ISA-18.2 (named after their descriptions; texts from memory). */
export const alarmStates = [
  'normal',
  'raised',
  'acknowledged',
  'returned',
  'latched-raised',
  'latched-acknowledged',
  'shelved',
  'suppressed',
] as const
export type AlarmState = (typeof alarmStates)[number]
export const alarmPriorities = ['low', 'medium', 'high'] as const
export type AlarmPriority = (typeof alarmPriorities)[number]

/** Alarms call for an action; advice tells what may come and is never an exceedance. */
export const alarmClasses = ['limit', 'health', 'advice'] as const
export type AlarmClass = (typeof alarmClasses)[number]

/** What made an alarm change its state. */
export const alarmInputs = [
  'enter',
  'leave',
  'acknowledge',
  'shelve',
  'unshelve',
  'shelf-expired',
  'suppress',
  'release',
  'reset',
] as const
export type AlarmInput = (typeof alarmInputs)[number]

/** One change of state of one alarm; the list of them is replayed to the letter. */
export interface AlarmTransition {
  readonly alarm: string // `limit:co-30m`, `health:condensate:main`
  readonly class: AlarmClass
  readonly cause: string // `limit`, or the health cause
  readonly stream: string | null
  readonly channel: string | null
  readonly priority: AlarmPriority
  readonly atMs: number
  readonly from: AlarmState
  readonly to: AlarmState
  readonly input: AlarmInput
  /** Whether the condition stands, whatever the state. */
  readonly active: boolean
  /** The value that decided, in the limit's unit; null for health alarms. */
  readonly value: number | null
  readonly limit: number | null
  readonly unit: string | null
  readonly by: string | null
  readonly note: string | null
  /** Until when it is shelved. */
  readonly untilMs: number | null
}
