import type { LineOutcome } from '../../protocols/instrument/reader.ts'
import { DuplicateWatch } from './duplicates.ts'
import { type Doubt, TimeDoubt } from './time-doubt.ts'

export type Refused = Extract<LineOutcome, { ok: false }>
const sentAgain: Refused = { ok: false, reason: 'duplicate', detail: 'sent again after a reconnect' }
const untimed: Refused = {
  ok: false,
  reason: 'unreadable_time',
  detail: 'the station keys readings by the line’s time, and the line tells none',
}
const outOfOrder = (newestMs: number): Refused => ({
  ok: false,
  reason: 'out_of_order',
  detail: `its time is not later than ${new Date(newestMs).toISOString()}`,
})

const ahead = (lineTimeMs: number, newestMs: number, doubt: Exclude<Doubt, 'none'>): Refused => ({
  ok: false,
  reason: 'time_ahead',
  detail: `its time, ${new Date(lineTimeMs).toISOString()}, is ${Math.round((lineTimeMs - newestMs) / 3_600_000)} h ahead of the line before: ${
    doubt === 'until the next line'
      ? 'it takes no part unless the next line goes on from it'
      : 'such a step is not taken within a run; where the clock of the instrument was set, start a new run'
  }`,
})

/** Which of a stream's readable lines take part: none that was sent again and, where its own time keys it, none that is late or far ahead. */
export class LineAdmission {
  private readonly byLine: boolean
  private readonly shiftMs: number
  private readonly duplicates = new DuplicateWatch()
  private readonly doubt: TimeDoubt

  /** `byLine`: readings are keyed by the line's own time. `shiftMs`: so far they lie before it. `expectMs`: a line's step. */
  constructor(byLine: boolean, shiftMs: number, expectMs: number) {
    this.doubt = new TimeDoubt(expectMs)
    this.byLine = byLine
    this.shiftMs = shiftMs
  }

  /** The link opened again: what comes now may be a repetition. */
  reconnected(): void {
    this.duplicates.reconnected()
  }

  /**
   * Why a line that could be read takes no part all the same; null where it does. `lineTimeMs`: NaN where it tells none.
   * `newestMs`: time of the newest reading, NaN before the first. Readings before `openFromMs` can't be averaged any more.
   */
  refusalOf(bytes: Uint8Array, lineTimeMs: number, newestMs: number, openFromMs: number): Refused | null {
    const hasTime = !Number.isNaN(lineTimeMs)
    if (hasTime && this.duplicates.isDuplicate(bytes)) return sentAgain
    if (!this.byLine) return null
    if (!hasTime) return untimed
    const at = lineTimeMs - this.shiftMs
    const doubt = this.doubt.of(at, newestMs)
    if (doubt !== 'none') return ahead(lineTimeMs, newestMs + this.shiftMs, doubt)
    return at <= newestMs || at < openFromMs ? outOfOrder(newestMs) : null
  }
}
