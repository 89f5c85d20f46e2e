import type { LinkState } from '../events.ts'
import { silentAfterMs } from './silence.ts'
import type { TellCondition, TimedWatch } from './watch.ts'

/** Lines in a row after which a silent stream is trusted again. Source: three good lines (common practice, no source). */
const LINES_TO_RETURN = 3

/**
 * Silence and lost link of one stream. One trouble, one alarm: what does not come over a link that is known to be lost
 * is no silence as well; a source that closes because nothing came (`silent`) is silence, not a lost link.
 * Refused lines break a silence too: something comes, and the rate of unparsable lines tells the rest.
 * Times: station time, ms, never going back.
 */
export class LinkWatch implements TimedWatch {
  nextDueMs = Number.POSITIVE_INFINITY
  #silentAfterMs: number
  readonly #expectEverySeconds: number
  readonly #tell: TellCondition
  #isSilent = false
  #isLost = false
  #isOpen = false
  /** The newest line, opening or start: silence counts from here. */
  #sinceMs = 0
  #linesInARow = 0

  constructor(expectEverySeconds: number, speed: number, tell: TellCondition) {
    this.#expectEverySeconds = expectEverySeconds
    this.#silentAfterMs = silentAfterMs(expectEverySeconds, speed)
    this.#tell = tell
  }

  /** Watching begins, with the run or the station. */
  start(atMs: number): void {
    if (!this.#isLost) this.#expectLines(atMs)
  }

  /** A piece of the stream came. `isGood`: it was read, or refused for a harmless reason. */
  line(isGood: boolean, atMs: number): void {
    if (atMs < this.nextDueMs && !this.#isSilent && !this.#isLost) {
      this.#sinceMs = atMs
      this.nextDueMs = atMs + this.#silentAfterMs
      return
    }
    this.advance(atMs)
    if (this.#isSilent) this.#countReturn(atMs)
    if (this.#isLost && this.#isOpen && isGood) this.#setLost(false, atMs)
    this.#expectLines(atMs)
  }

  link(state: LinkState, atMs: number): void {
    this.advance(atMs)
    this.#isOpen = state === 'open'
    this.nextDueMs = Number.POSITIVE_INFINITY
    switch (state) {
      case 'open':
        this.#expectLines(atMs)
        break
      case 'silent':
        this.#setSilent(true, atMs)
        break
      case 'lost':
      case 'refused':
        this.#setLost(true, atMs)
        break
      case 'ended': // a file or playback at its end: no more is expected
        this.#setSilent(false, atMs)
        this.#setLost(false, atMs)
        break
    }
  }

  /** The station's clock is scaled from here on. */
  speed(speed: number, atMs: number): void {
    this.advance(atMs)
    this.#silentAfterMs = silentAfterMs(this.#expectEverySeconds, speed)
    // What counts as late has changed its measure: lines are expected anew from here.
    if (this.nextDueMs !== Number.POSITIVE_INFINITY) this.#expectLines(atMs)
    this.nextDueMs = Math.max(atMs, this.#sinceMs + this.#silentAfterMs)
  }

  advance(toMs: number): void {
    const dueMs = this.nextDueMs
    if (dueMs > toMs) return
    this.nextDueMs = Number.POSITIVE_INFINITY
    this.#setSilent(true, dueMs)
  }

  #expectLines(atMs: number): void {
    this.#sinceMs = atMs
    this.nextDueMs = this.#isSilent ? Number.POSITIVE_INFINITY : atMs + this.#silentAfterMs
  }

  #countReturn(atMs: number): void {
    this.#linesInARow = atMs - this.#sinceMs > this.#silentAfterMs ? 1 : this.#linesInARow + 1
    if (this.#linesInARow >= LINES_TO_RETURN) this.#setSilent(false, atMs)
  }

  #setSilent(isSilent: boolean, atMs: number): void {
    if (isSilent === this.#isSilent) return
    this.#isSilent = isSilent
    this.#linesInARow = 0
    this.#tell('silence', isSilent, atMs)
  }

  #setLost(isLost: boolean, atMs: number): void {
    if (isLost === this.#isLost) return
    this.#isLost = isLost
    this.#tell('lost-link', isLost, atMs)
  }
}
