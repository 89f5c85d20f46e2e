import type { TellCondition, TimedWatch } from './watch.ts'

const SECONDS = 60

/**
 * Refused lines per sliding minute, from sixty buckets of one second. The alarm stands above `perMinute` and clears at
 * half of it (our choice: enough to keep a rate that wavers from chattering). Harmless refusals are not handed in.
 * Memory is fixed. Times: station time, ms.
 */
export class UnparsableRate implements TimedWatch {
  nextDueMs = Number.POSITIVE_INFINITY
  readonly #perMinute: number
  readonly #tell: TellCondition
  readonly #buckets = new Uint32Array(SECONDS)
  #second = Number.NEGATIVE_INFINITY
  #count = 0
  #isActive = false

  constructor(perMinute: number, tell: TellCondition) {
    this.#perMinute = perMinute
    this.#tell = tell
  }

  /** A line was refused for a reason that is a sign of trouble. */
  refused(atMs: number): void {
    this.advance(atMs)
    const second = Math.floor(atMs / 1000)
    this.#roll(second)
    const bucket = place(second)
    this.#buckets[bucket] = (this.#buckets[bucket] ?? 0) + 1
    this.#count += 1
    if (this.#isActive || this.#count <= this.#perMinute) return
    this.#isActive = true
    this.nextDueMs = (second + 1) * 1000
    this.#tell('unparsable-lines', true, atMs)
  }

  /** While the alarm stands, each whole second may let enough lines out of the minute; it cannot stand for longer than a minute without new ones. */
  advance(toMs: number): void {
    while (this.nextDueMs <= toMs) {
      const dueMs = this.nextDueMs
      this.#roll(dueMs / 1000)
      this.nextDueMs = dueMs + 1000
      if (this.#count > this.#perMinute / 2) continue
      this.#isActive = false
      this.nextDueMs = Number.POSITIVE_INFINITY
      this.#tell('unparsable-lines', false, dueMs)
    }
  }

  /** Empties the buckets of the seconds that have left the minute. */
  #roll(second: number): void {
    for (let next = Math.max(this.#second + 1, second - SECONDS + 1); next <= second; next += 1) {
      this.#count -= this.#buckets[place(next)] ?? 0
      this.#buckets[place(next)] = 0
    }
    if (second > this.#second) this.#second = second
  }
}

/** Seconds before 1970 have a place too. */
const place = (second: number): number => ((second % SECONDS) + SECONDS) % SECONDS
