import type { CountFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase, PlantState } from '../../../protocols/words/phases.ts'
import type { ValueQuantity } from '../../../protocols/words/quantities.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import type { Unit } from '../../../protocols/words/units.ts'
import type { Lane } from '../averaging/average-values.ts'
import type { Budget } from '../uncertainty/budget.ts'

/** Which average to follow down to its lines. */
export interface TraceRequest {
  readonly channel: string
  readonly quantity: ValueQuantity
  readonly unit: Unit
  readonly average: IsoDuration
  readonly startMs: number
  readonly endMs: number
}

/** What is summed: a channel as read, after the instrument's corrections, or converted reading by reading. */
export interface TracedLane {
  readonly channel: string
  readonly from: Lane['from']
}

/** One channel of one reading. Values in the channel's unit; null where there is none. */
export interface TracedValue {
  readonly flag: CountFlag
  readonly asRead: number | null
  /** Subtracted; null where nothing is. */
  readonly zero: number | null
  /** When the zero in use was taken, as `TracedZero.atMs`. */
  readonly zeroOf: number | null
  readonly spanFactor: number
  readonly dilution: number
  readonly corrected: number | null
}

/** A part of what a reading represents, within one minute: it weighs `toMs − fromMs`. */
export interface TracedPart {
  /** The channels that counted together, by `+`. */
  readonly lanes: string
  readonly fromMs: number
  readonly toMs: number
  /** One per lane. */
  readonly values: readonly number[]
}

export interface TracedReading {
  /** Of its line, in the recording. */
  readonly sequence: number
  readonly stream: string
  readonly atMs: number
  /** End of what it represents, cut at phase edges. */
  readonly untilMs: number
  readonly phase: Phase
  readonly plant: PlantState
  readonly counts: boolean
  readonly parts: readonly TracedPart[]
  /** By the channel's id. */
  readonly values: Readonly<Record<string, TracedValue>>
}

export interface TracedZero {
  readonly channel: string
  readonly atMs: number
  readonly mean: number
  readonly standardDeviation: number | null
  /** Whether it is subtracted from then on. */
  readonly used: boolean
  readonly readings: readonly { readonly sequence: number; readonly value: number }[]
}

/** A minute that was joined across streams; `means` by the channels that count together. */
export interface TracedMinute {
  readonly startMs: number
  readonly countedMs: number
  readonly means: readonly number[]
}

/** The sums that a row was formed from. Integrals: value · ms, one per lane. */
export interface TracedSums {
  readonly countedMs: number
  readonly integrals: readonly number[]
  readonly means: readonly number[]
  readonly count: number
  /** What coverage is measured against, ms. */
  readonly denominatorMs: number
  /** Whether the means are converted; otherwise the first is the row's. */
  readonly converted: boolean
  /** What its uncertainty is made of; null where it has none. */
  readonly budget: Budget | null
}
