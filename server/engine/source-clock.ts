import type { NoticeCode } from './outputs.ts'

/** A jump below this is jitter, ms. Our choice. */
const leastStepMs = 2000

/** Holds the instrument's own clock against the station's and tells of its jumps, where arrival keys the readings. */
export class SourceClock {
  private readonly leastMs: number
  private readonly tell: (code: NoticeCode, atMs: number, text: string) => void
  private offsetMs = Number.NaN

  /** `gapMs`: a line may be so late without the clock having jumped. */
  constructor(gapMs: number, tell: (code: NoticeCode, atMs: number, text: string) => void) {
    this.leastMs = Math.max(leastStepMs, gapMs)
    this.tell = tell
  }

  /** `lineTimeMs`: NaN where the line tells no time. */
  take(lineTimeMs: number, arrivalMs: number): void {
    if (Number.isNaN(lineTimeMs)) return
    const offset = lineTimeMs - arrivalMs
    const jump = offset - this.offsetMs
    if (Math.abs(jump) > this.leastMs)
      this.tell('source_clock_step', arrivalMs, `the instrument’s clock jumped by ${Math.round(jump / 1000)} s`)
    this.offsetMs = offset
  }
}
