import type { Phase } from '../../../protocols/words/phases.ts'
import type { PhaseSettings } from '../settings/station-file.ts'
import { LEAST_REAL_MS, lagMs } from './silence.ts'
import type { TellCondition, TimedWatch } from './watch.ts'

/**
 * A purge that never ends or never comes. A zero phase rests the cells too, so it counts as having come; it is not
 * watched for its length, since a check with bottled zero gas may take long. Without a setting nothing is watched.
 * Where the station's clock is scaled, a pause of the computer is long on it: what lines tell of phases may come that much later.
 * Times: station time, ms.
 */
export class PurgeWatch implements TimedWatch {
  nextDueMs = Number.POSITIVE_INFINITY
  readonly #longestMs: number
  readonly #everyMs: number
  readonly #tell: TellCondition
  #lagMs: number
  #phase: Phase = 'unknown'
  #standing: 'purge-overrun' | 'purge-missing' | null = null

  /** `speed`: station seconds per real second. */
  constructor(settings: PhaseSettings['purge'], speed: number, tell: TellCondition) {
    this.#longestMs = (settings.longestMinutes ?? Number.POSITIVE_INFINITY) * 60_000
    this.#everyMs = (settings.atLeastEveryMinutes ?? Number.POSITIVE_INFINITY) * 60_000
    this.#tell = tell
    this.#lagMs = lagMs(speed)
  }

  /** The clock has another speed from here on. */
  speed(speed: number, atMs: number): void {
    this.advance(atMs)
    const dueMs = this.nextDueMs - this.#lagMs
    this.#lagMs = lagMs(speed)
    this.nextDueMs = Math.max(dueMs + this.#lagMs, atMs + LEAST_REAL_MS) // lines may still lag as they did
  }

  /** The run starts: the first purge is due within the time between two. */
  start(atMs: number): void {
    if (!isRest(this.#phase)) this.nextDueMs = atMs + this.#everyMs + this.#lagMs
  }

  /** The run ends: nobody waits for a purge any more. */
  stop(atMs: number): void {
    this.advance(atMs)
    this.#end(atMs)
    this.nextDueMs = Number.POSITIVE_INFINITY
  }

  /** Another phase holds. `sinceMs`: its start, which may be back-dated; `atMs`: now. */
  phase(phase: Phase, sinceMs: number, atMs: number): void {
    this.advance(atMs)
    const before = this.#phase
    this.#phase = phase
    if (phase === 'purge' && before !== 'purge') this.#begin(atMs, sinceMs + this.#longestMs)
    else if (phase === 'zero') this.#begin(atMs, Number.POSITIVE_INFINITY)
    else if (isRest(before) && !isRest(phase)) this.#begin(atMs, sinceMs + this.#everyMs)
  }

  advance(toMs: number): void {
    const dueMs = this.nextDueMs
    if (dueMs > toMs) return
    this.nextDueMs = Number.POSITIVE_INFINITY
    this.#standing = this.#phase === 'purge' ? 'purge-overrun' : 'purge-missing'
    this.#tell(this.#standing, true, dueMs)
  }

  #begin(atMs: number, dueMs: number): void {
    this.#end(atMs)
    this.nextDueMs = Math.max(atMs, dueMs + this.#lagMs) // back-dating cannot make an alarm of the past
  }

  #end(atMs: number): void {
    if (this.#standing) this.#tell(this.#standing, false, atMs)
    this.#standing = null
  }
}

const isRest = (phase: Phase): boolean => phase === 'purge' || phase === 'zero'
