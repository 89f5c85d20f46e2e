import {
  type AverageRow,
  type BlockReason,
  type BlockState,
  invalidatingReasons,
} from '../../../protocols/words/blocks.ts'
import { type IsoDuration, isoDuration, wholeRun } from '../../../protocols/words/time.ts'
import { judgedRow } from '../decision/judge.ts'
import type { Tracer } from '../tracing/tracer.ts'
import { type Accumulator, remark } from './accumulator.ts'
import type { AveragedValue } from './average-values.ts'
import type { Period } from './grid.ts'
import type { RowContext } from './row-context.ts'
import { type RowPlan, rowPlans } from './row-plan.ts'
import { invalidity } from './validity.ts'

/** What a stretch is: a block, a rolling average's window, or a whole run. */
export type StretchKind = 'block' | 'rolling' | 'run'

const remarkReasons: readonly (readonly [bit: number, reason: BlockReason])[] = [
  [remark.runStarted, 'run_started'],
  [remark.runEnded, 'run_ended'],
  [remark.gap, 'gap'],
  [remark.instrumentFault, 'instrument_fault'],
  [remark.clockStep, 'clock_step'],
  [remark.noZeroYet, 'no_zero_yet'],
]

/** None, mostly: the same empty list then. */
const nothing: readonly BlockReason[] = []
const reasonsOf = (remarks: number): readonly BlockReason[] =>
  remarks === 0 ? nothing : remarkReasons.filter(([bit]) => remarks & bit).map(([, reason]) => reason)

const addAll = (reasons: BlockReason[], more: readonly BlockReason[]): void => {
  for (let next = 0; next < more.length; next++) reasons.push(more[next] as BlockReason)
}
const invalidates = (reason: BlockReason): boolean => invalidatingReasons.has(reason)

const asItIs = (_channel: number, mean: number): number => mean
const slopeOf = (unbiased: (channel: number, mean: number) => number, channel: number): number =>
  unbiased(channel, 1) - unbiased(channel, 0)

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

/** What the rows of one stretch have in common. */
interface Stretch {
  readonly total: Accumulator
  readonly period: Period
  readonly lengthMs: number
  readonly denominatorMs: number
  readonly state: BlockState
  readonly kind: StretchKind
  readonly average: IsoDuration
  /** The reasons that its remarks give for a value from which no zero is subtracted, and for any other. */
  readonly remarkedUnzeroed: readonly BlockReason[]
  readonly remarked: readonly BlockReason[]
}

/**
 * The rows of one stretch: means, then conversions of means (data-handling rule AV-12).
 *
 * A converted mean is invalid where the oxygen or another peripheral that it rests on is (AV-12b). Minimum, maximum and
 * standard deviation of a converted mean exist only where the conversion is a plain factor; means alone do not tell them.
 */
export function averageRows(
  context: RowContext,
  total: Accumulator,
  period: Period,
  lengthMs: number,
  denominatorMs: number,
  state: BlockState,
  kind: StretchKind,
): AverageRow[] {
  const remarked = reasonsOf(total.remarks)
  const stretch: Stretch = {
    total,
    period,
    lengthMs,
    denominatorMs,
    state,
    kind,
    average: kind === 'run' ? wholeRun(lengthMs) : isoDuration(lengthMs),
    remarked,
    remarkedUnzeroed: remarked.includes('no_zero_yet')
      ? remarked.filter((reason) => reason !== 'no_zero_yet')
      : remarked,
  }
  const plans = rowPlans(context)
  const rows: AverageRow[] = []
  for (let next = 0; next < plans.length; next++) rows.push(averageRow(context, plans[next] as RowPlan, stretch))
  return rows
}

/** Mean of one value, converted where it is; NaN where it cannot be formed or nothing counted. Makes nothing else: asked at each minute. */
export function meanOf(value: AveragedValue, total: Accumulator): number {
  const { group, convert } = value
  const lane = total.laneStart[group] as number
  if (!convert) return total.mean(group, lane)
  const inputs: number[] = []
  for (let next = lane; next < (total.laneStart[group + 1] as number); next++) inputs.push(total.mean(group, next))
  return convert.convert(inputs)
}

function averageRow(context: RowContext, plan: RowPlan, stretch: Stretch): AverageRow {
  const { unbiased = asItIs } = context
  const { value, channel } = plan
  const { total, period, lengthMs, denominatorMs, state, kind, average } = stretch
  const { group } = value
  const lane = total.laneStart[group] as number
  const reasons = invalidity(context.rule, total, group, lengthMs, denominatorMs)
  // The tail of a reading from before the stretch weighs, but alone it makes no mean.
  const counted = (total.weightMs[group] as number) > 0 && (total.count[group] as number) > 0
  let mean = total.mean(group, lane)
  let minimum = counted ? finite(total.minimum[group] as number) : null
  let maximum = counted ? finite(total.maximum[group] as number) : null
  let deviation = counted ? total.standardDeviation(group) : null
  if (value.quantity === 'bias_corrected') {
    mean = unbiased(value.channel, mean)
    minimum = minimum === null ? null : finite(unbiased(value.channel, minimum))
    maximum = maximum === null ? null : finite(unbiased(value.channel, maximum))
    deviation = deviation === null ? null : finite(deviation * slopeOf(unbiased, value.channel))
  }
  if (value.convert && counted) {
    const { convert } = value
    const inputs: number[] = []
    for (let next = lane; next < (total.laneStart[group + 1] as number); next++)
      inputs.push(unbiased(convert.inputs[next - lane] as number, total.mean(group, next)))
    mean = convert.convert(inputs)
    const why = convert.reason(inputs)
    if (why) reasons.push(why)
    if (convert.linearInFirst && minimum !== null && maximum !== null) {
      const factor = convert.convert([1])
      const own = convert.inputs[0] as number
      minimum = finite(unbiased(own, minimum) * factor)
      maximum = finite(unbiased(own, maximum) * factor)
      deviation = deviation === null ? null : finite(deviation * slopeOf(unbiased, own) * factor)
    } else {
      minimum = null
      maximum = null
      deviation = null
    }
  }
  if (plan.peripherals.length > 0) tellPeripherals(context, plan, stretch, reasons)
  if (total.leftOut[group] === 1) reasons.push('readings_not_converted')
  if (plan.zeroesItself) reasons.push('internal_zero_drift_not_observable')
  addAll(reasons, plan.isZeroSubtracted ? stretch.remarked : stretch.remarkedUnzeroed)
  addAll(reasons, context.driftReasons(value, period.startMs, period.endMs))
  if (context.exclusions?.touches(plan.needs, period.startMs, period.endMs)) reasons.push('excluded')
  const valid = Number.isFinite(mean) && (reasons.length === 0 || !reasons.some(invalidates))
  const row: AverageRow = {
    stream: plan.stream,
    channel: channel.id,
    species: channel.species ?? null,
    quantity: value.quantity,
    unit: value.unit,
    basis: value.basis,
    referenceOxygen: value.referenceOxygen,
    conditions: value.conditions,
    average,
    startMs: period.startMs,
    endMs: period.endMs,
    mean: counted ? finite(mean) : null,
    minimum,
    maximum,
    standardDeviation: deviation,
    count: total.count[group] as number,
    countedMs: Math.round(total.weightMs[group] as number),
    coverage: denominatorMs > 0 ? Math.min(1, (total.weightMs[group] as number) / denominatorMs) : null,
    valid,
    reasons: reasons.length > 1 ? [...new Set(reasons)] : reasons,
    detection: null,
    state: state === 'final' && plan.isProvisional ? 'provisional' : state,
    uncertainty: counted && Number.isFinite(mean) ? uncertaintyOf(context, value, total, period, denominatorMs) : null,
    verdicts: [],
  }
  const judged = judgedRow(
    plan.judgement,
    kind === 'rolling' ? 'rolling' : 'block',
    kind === 'run' ? 'run' : row.average,
    total,
    row,
  )
  if (context.trace) traceRow(context, context.trace, value, total, period, denominatorMs, judged)
  return judged
}

function traceRow(
  context: RowContext,
  trace: Tracer,
  value: AveragedValue,
  total: Accumulator,
  { endMs }: Period,
  denominatorMs: number,
  row: AverageRow,
): void {
  const { zerosInterpolated } = context
  const biasOf = context.biasOf?.bind(context) ?? (() => null)
  trace.row(value, total, denominatorMs, row, biasOf, () =>
    context.uncertainty.budgetOf(value.corrects ?? value, total, { endMs, denominatorMs, zerosInterpolated }),
  )
}

/** U (k = 2). Of a mean corrected for bias that of the mean as read, times the correction's slope. */
function uncertaintyOf(
  context: RowContext,
  value: AveragedValue,
  total: Accumulator,
  { endMs }: Period,
  denominatorMs: number,
): number | null {
  const { unbiased, zerosInterpolated } = context
  const found = context.uncertainty.expanded(value.corrects ?? value, total, {
    endMs,
    denominatorMs,
    zerosInterpolated,
  })
  return found === null || !value.corrects || !unbiased ? found : found * Math.abs(slopeOf(unbiased, value.channel))
}

function tellPeripherals(
  { rule }: RowContext,
  { ownAlone, peripherals }: RowPlan,
  { total, lengthMs, denominatorMs, state }: Stretch,
  reasons: BlockReason[],
): void {
  for (const { alone, reason } of peripherals) {
    if (invalidity(rule, total, alone, lengthMs, denominatorMs).length === 0) continue
    // A block that still runs has counted too little of everything: a peripheral is at fault only where it counted less.
    const lags = ownAlone < 0 || (total.weightMs[alone] as number) < (total.weightMs[ownAlone] as number)
    if (state !== 'open' || lags) reasons.push(reason)
  }
}
