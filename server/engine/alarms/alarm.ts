import type { AlarmClass, AlarmPriority, AlarmState } from '../../../protocols/words/alarms.ts'
import type { LimitSettings } from '../settings/station-file.ts'
import { type AlarmKind, type OwnState, shownState } from './states.ts'
import type { TimeAxis, Timer } from './time-axis.ts'

/** What an alarm is; does not change during a run. */
export interface AlarmIdentity {
  readonly id: string
  readonly class: AlarmClass
  /** `limit`, or the health cause. */
  readonly cause: string
  readonly stream: string
  readonly channel: string | null
  readonly priority: AlarmPriority
  readonly kind: AlarmKind
  /** The limit's value, in `unit`; null for health. */
  readonly limit: number | null
  readonly unit: string | null
  readonly onDelayMs: number
  readonly offDelayMs: number
  /** Without a value for longer than this a delay is broken, ms; Infinity where a value stands until the next one. */
  readonly gapMs: number
  /** The clock that its delays run on. */
  readonly axis: TimeAxis
}

/** A limit as the step needs it: which mean or reading to hand to `limitValue`. */
export interface LimitAlarm {
  readonly id: string
  /** The limit's id without `limit:`. */
  readonly limitId: string
  readonly index: number
  readonly stream: string
  readonly settings: LimitSettings
}

/** One alarm as it stands; the book owns it and changes it in place. */
export interface Alarm extends AlarmIdentity {
  /** The end of its on- or off-delay, on its own axis. */
  readonly delay: Timer
  /** The end of its shelving, on the station's axis. */
  readonly shelf: Timer
  state: OwnState
  /** Whether the condition stands, delays and deadband included. */
  active: boolean
  /** Neither standing nor on its way: the cheap way out for a value that has not passed. */
  quiet: boolean
  suppressed: boolean
  pending: 'none' | 'on' | 'off'
  pendingSinceMs: number
  /** When the newest value came that bore on the pending delay. */
  lastValueMs: number
  /** The newest value looked at; null for health and before the first. */
  value: number | null
  shelvedUntilMs: number | null
  raisedMs: number
  sinceMs: number
  by: string | null
  note: string | null
  /** How often it was raised. */
  count: number
}

/** Written out field by field: alarms are looked at with each reading, and only objects made alike are read fast. */
export const newAlarm = (identity: AlarmIdentity, delay: Timer, shelf: Timer): Alarm => ({
  id: identity.id,
  class: identity.class,
  cause: identity.cause,
  stream: identity.stream,
  channel: identity.channel,
  priority: identity.priority,
  kind: identity.kind,
  limit: identity.limit,
  unit: identity.unit,
  onDelayMs: identity.onDelayMs,
  offDelayMs: identity.offDelayMs,
  gapMs: identity.gapMs,
  axis: identity.axis,
  delay,
  shelf,
  state: 'normal',
  active: false,
  quiet: true,
  suppressed: false,
  pending: 'none',
  pendingSinceMs: 0,
  lastValueMs: Number.NEGATIVE_INFINITY,
  value: null,
  shelvedUntilMs: null,
  raisedMs: 0,
  sinceMs: 0,
  by: null,
  note: null,
  count: 0,
})

/** An alarm that is not normal, for lists and snapshots. Times in ms since 1970 UTC. */
export interface AlarmStanding {
  readonly alarm: string
  readonly class: AlarmClass
  readonly cause: string
  readonly stream: string | null
  readonly channel: string | null
  readonly priority: AlarmPriority
  readonly state: AlarmState
  readonly active: boolean
  /** When its condition was last found to stand; the time of shelving where it never was. */
  readonly raisedMs: number
  readonly sinceMs: number
  readonly value: number | null
  readonly limit: number | null
  readonly unit: string | null
  readonly by: string | null
  readonly note: string | null
  readonly untilMs: number | null
  readonly count: number
}

export const shownStateOf = (alarm: Alarm): AlarmState =>
  shownState(alarm.state, alarm.shelvedUntilMs !== null, alarm.suppressed)

export const standingOf = (alarm: Alarm): AlarmStanding => ({
  alarm: alarm.id,
  class: alarm.class,
  cause: alarm.cause,
  stream: alarm.stream,
  channel: alarm.channel,
  priority: alarm.priority,
  state: shownStateOf(alarm),
  active: alarm.active,
  raisedMs: alarm.count > 0 ? alarm.raisedMs : alarm.sinceMs,
  sinceMs: alarm.sinceMs,
  value: alarm.value,
  limit: alarm.limit,
  unit: alarm.unit,
  by: alarm.by,
  note: alarm.note,
  untilMs: alarm.shelvedUntilMs,
  count: alarm.count,
})
