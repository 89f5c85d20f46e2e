import type { AlarmTransition } from '../../../protocols/words/alarms.ts'
import { type HealthCause, healthCauses, type StationFile } from '../settings/station-file.ts'
import {
  type Alarm,
  type AlarmIdentity,
  type AlarmStanding,
  type LimitAlarm,
  newAlarm,
  shownStateOf,
  standingOf,
} from './alarm.ts'
import { type Decide, endDelay, evaluate, stopDelay } from './delays.ts'
import { healthSettings, silencedCauses } from './health-settings.ts'
import { AlarmJournal } from './journal.ts'
import { type Deadband, deadbandOf, limitAlarms, limitGapMs } from './limits.ts'
import { type AlarmAction, type Answer, operateAlarm, takeFromShelf } from './operate.ts'
import { stepAlarm } from './states.ts'
import { newTimer, TimeAxis } from './time-axis.ts'

/** The axis of health alarms and of shelves; no stream can have this name. */
export const stationAxis = '@station'

interface LimitEntry extends Deadband {
  readonly alarm: Alarm
  readonly stream: string
  readonly isOfReadings: boolean
}

/**
 * All alarms of a station. Deterministic, changed in place, never copied; no clock but the times handed in.
 *
 * Two kinds of time axis: `stationAxis` for health alarms and shelves, a stream's id for its limits and advice. Times
 * handed in must not go back on their axis. An input first rings what is due on its axis up to and including its own
 * time, so a delay that ends at the moment of a value is decided before that value. Between axes the caller keeps the
 * order: where several run on the same clock, advance the one with the earliest `nextDueMs` first.
 */
export class AlarmBook {
  readonly limits: readonly LimitAlarm[]
  readonly #entries: readonly LimitEntry[]
  readonly #advice: (Alarm | undefined)[] = []
  readonly #health = new Map<string, Map<HealthCause, Alarm>>()
  readonly #alarms = new Map<string, Alarm>()
  readonly #axes = new Map<string, TimeAxis>()
  readonly #station: TimeAxis
  readonly #silenced: ReadonlySet<HealthCause>
  readonly #journal = new AlarmJournal()
  readonly #file: StationFile

  constructor(station: StationFile) {
    this.#file = station
    this.#silenced = new Set(silencedCauses(station))
    this.#station = this.#axis(stationAxis)
    this.limits = limitAlarms(station)
    this.#entries = this.limits.map((limit) => {
      const { sign, passAbove, clearFrom } = deadbandOf(limit.settings)
      const isOfReadings = limit.settings.of === 'reading'
      return { alarm: this.#limitAlarm(limit), stream: limit.stream, isOfReadings, sign, passAbove, clearFrom }
    })
  }

  /** When something next happens by itself on an axis, ms; Infinity when nothing does. */
  nextDueMs(axis: string): number {
    return this.#axes.get(axis)?.nextDueMs ?? Number.POSITIVE_INFINITY
  }

  /** The axis itself, to be looked at with each event; only the book moves it. */
  axis(name: string): Pick<TimeAxis, 'nextDueMs'> {
    return this.#axis(name)
  }

  /** Lets time pass on an axis: what is due up to and including `toMs` happens in order, each at its own due time. */
  advance(axis: string, toMs: number): void {
    this.#axes.get(axis)?.advance(toMs)
  }

  /**
   * A new value for a limit: a reading, a valid block's mean, or a rolling average, in the limit's unit. NaN is no
   * value and decides nothing. `index`: the place in `limits`. Costs next to nothing while the alarm is quiet.
   */
  limitValue(index: number, value: number, atMs: number): void {
    const entry = this.#entries[index]
    if (entry === undefined) return
    const { alarm } = entry
    const level = entry.sign * value
    const isPassed = level > entry.passAbove
    if ((alarm.quiet && !isPassed) || alarm.suppressed || Number.isNaN(value)) return
    alarm.axis.advance(atMs)
    alarm.value = value
    evaluate(alarm, isPassed, level <= entry.clearFrom, atMs, this.#decide)
  }

  /**
   * The stream's readings stop being the plant's: purge, zero, span, settling, fault, standby. Its limits of readings
   * are suppressed by design: delays are forgotten, values not looked at, what stood is kept aside. Written down only
   * where an alarm was not normal, so a quiet purge leaves no trace. Means are not suppressed: only valid ones are handed in.
   */
  suppressLimits(stream: string, atMs: number): void {
    this.#axes.get(stream)?.advance(atMs)
    for (const alarm of this.#readingAlarms(stream)) {
      const from = shownStateOf(alarm)
      stopDelay(alarm)
      alarm.suppressed = true
      if (shownStateOf(alarm) !== from) this.#journal.record(alarm, from, 'suppress', atMs)
    }
  }

  /** Readings are the plant's again: what was kept aside stands until new values clear it; delays start anew. */
  releaseLimits(stream: string, atMs: number): void {
    this.#axes.get(stream)?.advance(atMs)
    for (const alarm of this.#readingAlarms(stream)) {
      const from = shownStateOf(alarm)
      alarm.suppressed = false
      if (shownStateOf(alarm) !== from) this.#journal.record(alarm, from, 'release', atMs)
    }
  }

  /**
   * A phase was back-dated: readings from `fromMs` on do not count. Delays that they started are forgotten. What they
   * have raised already stays told; it was announced, and the journal does not unsay it.
   */
  withdraw(stream: string, fromMs: number): void {
    for (const alarm of this.#readingAlarms(stream))
      if (alarm.pending !== 'none' && alarm.pendingSinceMs >= fromMs) stopDelay(alarm)
  }

  /** Whether a health condition stands, as its watch sees it; saying the same again changes nothing. */
  condition(cause: HealthCause, stream: string, isActive: boolean, atMs: number): void {
    const known = this.#health.get(stream)?.get(cause)
    if (known === undefined ? !isActive : known.quiet && !isActive) return
    const alarm = known ?? this.#healthAlarm(cause, stream)
    if (alarm === null) return
    this.#station.advance(atMs)
    evaluate(alarm, isActive, !isActive, atMs, this.#decide)
  }

  /** A running block is on course to pass its limit. Never an exceedance; goes by itself, acknowledged or not. `value`: where the mean is heading. */
  advice(limitIndex: number, isActive: boolean, atMs: number, value: number | null): void {
    const known = this.#advice[limitIndex]
    if (known === undefined ? !isActive : known.quiet && !isActive) return
    const alarm = known ?? this.#adviceAlarm(limitIndex)
    if (alarm === null) return
    alarm.axis.advance(atMs)
    alarm.value = value
    evaluate(alarm, isActive, !isActive, atMs, this.#decide)
  }

  /** Acknowledge, shelve, unshelve, reset. `atMs` is the station's time. An error names the alarm and the way out. */
  operate(action: AlarmAction, by: string, atMs: number): Answer {
    const alarm = this.#find(action.alarm)
    if (typeof alarm === 'string') return { ok: false, error: alarm }
    this.#station.advance(atMs)
    return operateAlarm(alarm, action, by, atMs, this.#station, this.#journal)
  }

  /** All alarms that are not normal, in the order in which they came to be known. */
  standing(): readonly AlarmStanding[] {
    return [...this.#alarms.values()].filter((alarm) => shownStateOf(alarm) !== 'normal').map(standingOf)
  }

  /** Health causes that the station file switches off. */
  silenced(): readonly HealthCause[] {
    return [...this.#silenced]
  }

  /** The transitions since the last call, in order; always the same empty list when there are none. */
  take(): readonly AlarmTransition[] {
    return this.#journal.take()
  }

  readonly #decide: Decide = (alarm, input, atMs) => {
    const from = shownStateOf(alarm)
    alarm.state = stepAlarm(alarm.kind, alarm.state, input)
    if (input === 'enter') {
      alarm.raisedMs = atMs
      alarm.count += 1
      if (alarm.shelvedUntilMs === null) alarm.by = alarm.note = null
    }
    this.#journal.record(alarm, from, input, atMs)
  }

  #endShelf(alarm: Alarm, atMs: number): void {
    const from = shownStateOf(alarm)
    takeFromShelf(alarm)
    alarm.by = alarm.note = null
    this.#journal.record(alarm, from, 'shelf-expired', atMs)
  }

  #axis(name: string): TimeAxis {
    const known = this.#axes.get(name)
    if (known) return known
    const axis = new TimeAxis()
    this.#axes.set(name, axis)
    return axis
  }

  *#readingAlarms(stream: string): Generator<Alarm> {
    for (const entry of this.#entries) if (entry.stream === stream && entry.isOfReadings) yield entry.alarm
  }

  #add(identity: AlarmIdentity): Alarm {
    const alarm: Alarm = newAlarm(
      identity,
      newTimer((dueMs) => endDelay(alarm, dueMs, this.#decide)),
      newTimer((dueMs) => this.#endShelf(alarm, dueMs)),
    )
    this.#alarms.set(alarm.id, alarm)
    return alarm
  }

  #limitAlarm(limit: LimitAlarm): Alarm {
    const { channel, priority, latched, value, unit, onDelaySeconds, offDelaySeconds } = limit.settings
    return this.#add({
      id: limit.id,
      class: 'limit',
      cause: 'limit',
      stream: limit.stream,
      channel,
      priority,
      kind: latched ? 'latched' : 'plain',
      limit: value,
      unit,
      onDelayMs: Math.round(onDelaySeconds * 1000),
      offDelayMs: Math.round(offDelaySeconds * 1000),
      gapMs: limitGapMs(this.#file, limit),
      axis: this.#axis(limit.stream),
    })
  }

  #adviceAlarm(limitIndex: number): Alarm | null {
    const limit = this.limits[limitIndex]
    if (!limit) return null
    const { channel, value, unit } = limit.settings
    const alarm = this.#add({
      id: `advice:${limit.limitId}`,
      class: 'advice',
      cause: 'limit',
      stream: limit.stream,
      channel,
      priority: 'low',
      kind: 'advice',
      limit: value,
      unit,
      onDelayMs: 0,
      offDelayMs: 0,
      gapMs: Number.POSITIVE_INFINITY,
      axis: this.#axis(limit.stream),
    })
    this.#advice[limitIndex] = alarm
    return alarm
  }

  #healthAlarm(cause: HealthCause, stream: string): Alarm | null {
    if (this.#silenced.has(cause)) return null
    const { priority, latched, onDelaySeconds, offDelaySeconds } = healthSettings(this.#file, cause)
    const alarm = this.#add({
      id: `health:${cause}:${stream}`,
      class: 'health',
      cause,
      stream,
      channel: null,
      priority,
      kind: latched ? 'latched' : 'plain',
      limit: null,
      unit: null,
      onDelayMs: Math.round(onDelaySeconds * 1000),
      offDelayMs: Math.round(offDelaySeconds * 1000),
      gapMs: Number.POSITIVE_INFINITY,
      axis: this.#station,
    })
    const ofStream = this.#health.get(stream) ?? new Map<HealthCause, Alarm>()
    this.#health.set(stream, ofStream.set(cause, alarm))
    return alarm
  }

  /** An alarm by its id, also one that never stood yet: a trap that is about to be emptied is shelved beforehand. Else a sentence that says why not. */
  #find(id: string): Alarm | string {
    const known = this.#alarms.get(id)
    if (known) return known
    const [kind, ...rest] = id.split(':')
    const cause = healthCauses.find((candidate) => candidate === rest[0])
    const isStream = this.#file.streams.some((stream) => stream.id === rest[1])
    if (kind === 'health' && cause && isStream && rest.length === 2)
      return this.#healthAlarm(cause, rest[1] ?? '') ?? `${id} is switched off in the station file`
    const limitIndex = this.limits.findIndex((limit) => kind === 'advice' && limit.limitId === rest.join(':'))
    return this.#adviceAlarm(limitIndex) ?? `there is no alarm “${id}”`
  }
}

export const createAlarmBook = (station: StationFile): AlarmBook => new AlarmBook(station)
