import { Accumulator } from './accumulator.ts'

/**
 * A window over the last N minutes, merged from minute integrals without ever subtracting: a queue of two stacks. What
 * is older than the newest turn-over lies in `older`, as sums from each minute to the end of that stack; what is newer in
 * one running sum. Each minute is merged twice in its life, so the work per minute is constant on average.
 */
export class RollingWindow {
  private readonly minutes: number
  private readonly laneStart: Int32Array
  private readonly spare: Accumulator[] = []
  private older: Accumulator[] = []
  private newer: Accumulator[] = []
  private newerSum: Accumulator
  /** Whether each group had a counted reading in a minute, oldest first: for the quarters of a rolling hour. */
  private readonly result: Accumulator

  constructor(minutes: number, laneStart: Int32Array) {
    this.minutes = minutes
    this.laneStart = laneStart
    this.newerSum = new Accumulator(laneStart)
    this.result = new Accumulator(laneStart)
  }

  get isFull(): boolean {
    return this.older.length + this.newer.length === this.minutes
  }

  /** Takes the next minute in; a minute without data too, so that the window stays in step with the grid. */
  push(minute: Accumulator): void {
    if (this.isFull) this.dropOldest()
    const kept = this.spare.pop() ?? new Accumulator(this.laneStart)
    kept.reset()
    kept.merge(minute, 0)
    this.newer.push(kept)
    this.newerSum.merge(kept, 0)
  }

  private dropOldest(): void {
    if (this.older.length === 0) {
      // Sums from each minute to the end of the stack, so that the top is always the whole rest.
      for (let index = this.newer.length - 1; index >= 0; index--) {
        const minute = this.newer[index] as Accumulator
        const previous = this.older[this.older.length - 1]
        if (previous) minute.merge(previous, 0)
        this.older.push(minute)
      }
      this.newer = []
      this.newerSum.reset()
    }
    const dropped = this.older.pop()
    if (dropped) this.spare.push(dropped)
  }

  /** The whole window; overwritten by the next call. */
  total(): Accumulator {
    this.result.reset()
    const older = this.older[this.older.length - 1]
    if (older) this.result.merge(older, 0)
    this.result.merge(this.newerSum, 0)
    return this.result
  }

  clear(): void {
    this.spare.push(...this.older, ...this.newer)
    this.older = []
    this.newer = []
    this.newerSum.reset()
  }
}
