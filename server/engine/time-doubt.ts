/** A step ahead by more than this is believed when the next line goes on from it: one wrong digit must not carry the run away. */
const doubtedMs = 3_600_000
/** A step ahead by more than this is never taken within a run. */
const longestStepMs = 31 * 24 * 3_600_000

export type Doubt = 'none' | 'until the next line' | 'within this run'

/** Tells a line with a wrong time from lines that go on after a pause, where the lines' own time keys the readings. */
export class TimeDoubt {
  private aheadMs = Number.NaN

  /** Asked once for each line that tells a time, in order. `newestMs`: the newest time that was believed; NaN before the first. */
  of(atMs: number, newestMs: number): Doubt {
    const before = this.aheadMs
    this.aheadMs = Number.NaN
    const step = atMs - newestMs
    if (!(step > doubtedMs)) return 'none'
    if (step > longestStepMs) return 'within this run'
    if (atMs > before && atMs - before <= doubtedMs) return 'none'
    this.aheadMs = atMs
    return 'until the next line'
  }
}
