import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { RunBias } from '../corrections/run-bias.ts'
import type { Judgements } from '../decision/judge.ts'
import type { Exclusions } from '../exclusions.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Tracer } from '../tracing/tracer.ts'
import type { UncertaintyBudgets } from '../uncertainty/budget.ts'
import type { AveragedValue, Group } from './average-values.ts'
import type { ValidityRule } from './validity.ts'

/** What rows are made of beside their numbers. */
export interface RowContext {
  readonly station: StationFile
  readonly plan: ConversionPlan
  readonly rule: ValidityRule
  /** The values of one set, their `group` counted within it. */
  readonly values: readonly AveragedValue[]
  /** Detection limits and limits of the values. */
  readonly judgements: Judgements
  readonly uncertainty: UncertaintyBudgets
  /** Whether the zeros before and after each reading are in the numbers. */
  readonly zerosInterpolated: boolean
  /** Whether these are rows that are told again once the zeros after them are known. */
  readonly areSettled: boolean
  readonly groups: readonly Group[]
  readonly exclusions: Exclusions | null
  readonly trace: Tracer | null
  /** The group of a channel alone, corrected or as read, for the validity of oxygen and moisture; -1 where it lies in another set. */
  groupAlone(channel: number): number
  /** What zeros and checks demand to be said of an average of this value over [fromMs, toMs). */
  driftReasons(value: AveragedValue, fromMs: number, toMs: number): readonly BlockReason[]
  /** Only for a run's average, where checks before and after it correct means: what the mean of a channel becomes. */
  unbiased?(channel: number, mean: number): number
  /** The checks that did so; null where a channel has none. */
  biasOf?(channel: number): RunBias | null
  /** Whether zeros are subtracted from what a value rests on. */
  isZeroSubtracted(value: AveragedValue): boolean
  /** Whether a value waits for the next zero before it is final. */
  isProvisional(value: AveragedValue): boolean
}
