import type { PhaseSettings } from '../settings/station-file.ts'

type Signal = NonNullable<PhaseSettings['signal']>

/** A change recognised from signals: from `onsetMs` on the phase holds, or holds no longer. */
export interface SignalChange {
  readonly holds: boolean
  readonly onsetMs: number
}

/**
 * The rules that one instrument is judged by: those of its own channels. Two analysers purge each at its own time; one of which
 * no channel tells, as a flow meter, follows the others.
 */
export function rulesOfStream({ rules }: Signal, isOwn: (channel: string) => boolean): Signal['rules'] {
  const own = rules.filter(({ channel }) => isOwn(channel))
  return own.length > 0 ? own : rules
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
  private readonly rules: Signal['rules']
  private readonly channels: readonly number[]
  private readonly backMs: number
  private holds = false
  private stretchStart = Number.NaN
  private lastChangeMs = Number.NEGATIVE_INFINITY

  /** `rules`: those that this stream asks; `indexOf`: of a channel's value. */
  constructor(signal: Signal, rules: Signal['rules'], indexOf: (channel: string) => number, slowestT95Ms: number) {
    this.signal = signal
    this.rules = rules
    this.channels = rules.map(({ channel }) => indexOf(channel))
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
    return this.rules.every((rule, index) => {
      const value = values[this.channels[index] as number] as number
      if (rule.enterAbove !== undefined && !(value > rule.enterAbove)) return false
      return !(rule.enterBelow !== undefined && !(value < rule.enterBelow))
    })
  }

  private leaves(values: ArrayLike<number>): boolean {
    return this.rules.some((rule, index) => {
      const value = values[this.channels[index] as number] as number
      return (
        value < (rule.leaveBelow ?? rule.enterAbove ?? Number.NEGATIVE_INFINITY) ||
        value > (rule.leaveAbove ?? rule.enterBelow ?? Number.POSITIVE_INFINITY)
      )
    })
  }
}
