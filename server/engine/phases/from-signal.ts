import type { PhaseSettings } from '../settings/station-file.ts'

type Signal = NonNullable<PhaseSettings['signal']>

/** A change recognised from signals: from `onsetMs` on the phase holds, or holds no longer. */
export interface SignalChange {
  readonly holds: boolean
  readonly onsetMs: number
}

/**
 * Recognises a phase from channel values, with hysteresis and dwell (docs/calculations.md).
 *
 * Entered when all rules hold for the dwell, left when any fails for it. The onset is the first reading of that stretch;
 * an entry is moved back by the slowest t95 where `backDate` is set, since the gas changed before the slowest cell told.
 * A leave is not moved back: settling then starts later, which is the side on which no wrong reading counts.
 * A missing value neither enters nor leaves.
 */
export class SignalRecogniser {
  private readonly signal: Signal
  private readonly channels: readonly number[]
  private readonly backMs: number
  private holds = false
  private stretchStart = Number.NaN
  private lastChangeMs = Number.NEGATIVE_INFINITY

  /** `channels[i]`: index of the value that rule i looks at. */
  constructor(signal: Signal, channels: readonly number[], slowestT95Ms: number) {
    this.signal = signal
    this.channels = channels
    this.backMs = signal.backDate ? slowestT95Ms : 0
  }

  take(values: ArrayLike<number>, atMs: number): SignalChange | null {
    const turns = this.holds ? this.leaves(values) : this.enters(values)
    if (!turns) {
      this.stretchStart = Number.NaN
      return null
    }
    if (Number.isNaN(this.stretchStart)) this.stretchStart = atMs
    if (atMs - this.stretchStart < this.signal.dwellSeconds * 1000) return null
    this.holds = !this.holds
    const onsetMs = this.holds ? Math.max(this.stretchStart - this.backMs, this.lastChangeMs) : this.stretchStart
    this.stretchStart = Number.NaN
    this.lastChangeMs = onsetMs
    return { holds: this.holds, onsetMs }
  }

  private enters(values: ArrayLike<number>): boolean {
    return this.signal.rules.every((rule, index) => {
      const value = values[this.channels[index] as number] as number
      if (rule.enterAbove !== undefined && !(value > rule.enterAbove)) return false
      return !(rule.enterBelow !== undefined && !(value < rule.enterBelow))
    })
  }

  private leaves(values: ArrayLike<number>): boolean {
    return this.signal.rules.some((rule, index) => {
      const value = values[this.channels[index] as number] as number
      return (
        value < (rule.leaveBelow ?? rule.enterAbove ?? Number.NEGATIVE_INFINITY) ||
        value > (rule.leaveAbove ?? rule.enterBelow ?? Number.POSITIVE_INFINITY)
      )
    })
  }
}
