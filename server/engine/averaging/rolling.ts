import { Accumulator } from './accumulator.ts'

const minutesOfHour = 60

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
  private readonly result: Accumulator
  /** For the quarters of a rolling hour: of each minute in turn, whether the plant ran, then which groups had a counted reading. Empty for other windows. */
  private readonly marks: Uint8Array
  private nextMark = 0

  constructor(minutes: number, laneStart: Int32Array) {
    this.minutes = minutes
    this.laneStart = laneStart
    this.newerSum = new Accumulator(laneStart)
    this.result = new Accumulator(laneStart)
    this.marks = new Uint8Array(minutes === minutesOfHour ? minutes * laneStart.length : 0)
  }

  get isFull(): boolean {
    return this.older.length + this.newer.length === this.minutes
  }

  /** Takes the next minute in; a minute without data too, so that the window stays in step with the grid. */
  push(minute: Accumulator): void {
    if (this.isFull) this.dropOldest()
    const kept = this.spare.pop() ?? new Accumulator(this.laneStart)
    kept.takeOver(minute)
    this.newer.push(kept)
    this.newerSum.merge(kept, 0)
    if (this.marks.length > 0) this.mark(minute)
  }

  private mark(minute: Accumulator): void {
    const width = this.laneStart.length
    const start = this.nextMark * width
    this.marks[start] = Number(minute.runningMs > 0)
    for (let group = 0; group < minute.count.length; group++)
      this.marks[start + 1 + group] = Number((minute.count[group] as number) > 0)
    this.nextMark = (this.nextMark + 1) % this.minutes
  }

  /** Quarters are counted from the window's start; the oldest minute is the one to be overwritten next. */
  private takeQuarters(): void {
    const width = this.laneStart.length
    for (let age = 0; age < this.minutes; age++) {
      const start = ((this.nextMark + age) % this.minutes) * width
      const bit = 1 << Math.floor((age * 4) / this.minutes)
      if (this.marks[start]) this.result.operatedQuadrants |= bit
      for (let group = 0; group < width - 1; group++)
        if (this.marks[start + 1 + group]) this.result.quadrants[group]! |= bit
    }
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
    const older = this.older[this.older.length - 1]
    if (older) this.result.takeOver(older)
    else this.result.reset()
    this.result.merge(this.newerSum, 0)
    if (this.marks.length > 0 && this.isFull) this.takeQuarters()
    return this.result
  }

  clear(): void {
    this.spare.push(...this.older, ...this.newer)
    this.older = []
    this.newer = []
    this.newerSum.reset()
  }
}
