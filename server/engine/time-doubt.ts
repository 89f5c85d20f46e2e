/** A step ahead by more than this, or than three lines' where they come seldom, is believed when the next line goes on from it: one wrong digit must not carry the run away. */
const doubtedMs = 3_600_000
const doubtedSteps = 3
/** A step ahead by more than this is never taken within a run. */
const longestStepMs = 31 * 24 * 3_600_000

export type Doubt = 'none' | 'until the next line' | 'within this run'

/** Tells a line with a wrong time from lines that go on after a pause, where the lines' own time keys the readings. */
export class TimeDoubt {
  private aheadMs = Number.NaN
  private readonly mostMs: number

  /** `expectMs`: a line's step. */
  constructor(expectMs: number) {
    this.mostMs = Math.max(doubtedMs, doubtedSteps * expectMs)
  }

  /** Asked once for each line that tells a time, in order. `newestMs`: the newest time that was believed; NaN before the first. */
  of(atMs: number, newestMs: number): Doubt {
    const before = this.aheadMs
    this.aheadMs = Number.NaN
    const step = atMs - newestMs
    if (!(step > this.mostMs)) return 'none'
    if (step > longestStepMs) return 'within this run'
    if (atMs > before && atMs - before <= this.mostMs) return 'none'
    this.aheadMs = atMs
    return 'until the next line'
  }
}
