import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { CountFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase, PlantState } from '../../../protocols/words/phases.ts'
import type { ValueQuantity } from '../../../protocols/words/quantities.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import type { Unit } from '../../../protocols/words/units.ts'
import type { Check } from '../amendments.ts'
import type { Lane } from '../averaging/average-values.ts'
import type { Bounds } from '../corrections/robust-mean.ts'
import type { RunBias } from '../corrections/run-bias.ts'
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
  /** When the zero after it was taken; null where none is known. */
  readonly zeroTo: number | null
  /** Whether `zero` lies on the line between the two; otherwise it is the one before. */
  readonly isOnLine: boolean
  readonly spanFactor: number
  readonly dilution: number
  /** After zero, span and dilution; null for a sum. Differs from `corrected` where the cell answers to other gases. */
  readonly alone: number | null
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

/** A zero that was subtracted: of a purge or zero, or of a check. */
export interface TracedZero {
  readonly channel: string
  /** End of the purge or zero; the check's time. */
  readonly atMs: number
  /** The middle of its readings: where it stands on the line between two zeros. */
  readonly middleMs: number
  readonly mean: number
  readonly standardDeviation: number | null
  /** Readings beyond were taken as these; null where none could be. */
  readonly bounds: Bounds | null
  /** null: of a purge or zero. */
  readonly check: Check | null
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
  /** One per lane: the checks that its mean is corrected by; null where it is not. */
  readonly biases: readonly (RunBias | null)[]
}

/** An average of blocks: all of them, those that were left out too. */
export interface TracedBlocks {
  readonly blocks: readonly AverageRow[]
  /** How many blocks it needs to be whole, those in which the plant did not run left out. */
  readonly expected: number
}
