import type { AlarmInput, AlarmState, AlarmTransition } from '../../../protocols/words/alarms.ts'
import { type Alarm, shownStateOf } from './alarm.ts'

const nothing: readonly AlarmTransition[] = Object.freeze([])

/** The transitions since the last `take`, in the order in which they happened. */
export class AlarmJournal {
  #written: AlarmTransition[] = []

  /**
   * Writes down what became of an alarm that was in `from`. Under a shelf or suppression the shown state may stay the
   * same: that a condition came, went or was acknowledged is written all the same.
   */
  record(
    alarm: Alarm,
    from: AlarmState,
    input: AlarmInput,
    atMs: number,
    by: string | null = null,
    note: string | null = null,
  ): void {
    const to = shownStateOf(alarm)
    if (from !== to) alarm.sinceMs = atMs
    if (by !== null) {
      alarm.by = by
      alarm.note = note
    }
    this.#written.push({
      alarm: alarm.id,
      class: alarm.class,
      cause: alarm.cause,
      stream: alarm.stream,
      channel: alarm.channel,
      priority: alarm.priority,
      atMs,
      from,
      to,
      input,
      active: alarm.active,
      value: alarm.value,
      limit: alarm.limit,
      unit: alarm.unit,
      by,
      note,
      untilMs: alarm.shelvedUntilMs,
    })
  }

  /** Hands over and forgets; the same empty list when nothing happened. */
  take(): readonly AlarmTransition[] {
    if (this.#written.length === 0) return nothing
    const written = this.#written
    this.#written = []
    return written
  }
}
