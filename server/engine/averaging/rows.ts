import {
  type AverageRow,
  type BlockReason,
  type BlockState,
  invalidatingReasons,
} from '../../../protocols/words/blocks.ts'
import { isoDuration } from '../../../protocols/words/time.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { Exclusions } from '../exclusions.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Tracer } from '../tracing/tracer.ts'
import { type Accumulator, remark } from './accumulator.ts'
import type { AveragedValue, Group } from './average-values.ts'
import type { Period } from './grid.ts'
import { invalidity, type ValidityRule } from './validity.ts'

/** What rows are made of beside their numbers. */
export interface RowContext {
  readonly station: StationFile
  readonly plan: ConversionPlan
  readonly rule: ValidityRule
  /** The values of one set, their `group` counted within it. */
  readonly values: readonly AveragedValue[]
  readonly groups: readonly Group[]
  readonly exclusions: Exclusions | null
  readonly trace: Tracer | null
  /** The group of a channel alone, corrected or as read, for the validity of oxygen and moisture; -1 where it lies in another set. */
  groupAlone(channel: number): number
}

const remarkReasons: readonly (readonly [bit: number, reason: BlockReason])[] = [
  [remark.runStarted, 'run_started'],
  [remark.runEnded, 'run_ended'],
  [remark.gap, 'gap'],
  [remark.instrumentFault, 'instrument_fault'],
  [remark.clockStep, 'clock_step'],
  [remark.noZeroYet, 'no_zero_yet'],
]

const finite = (value: number): number | null => (Number.isFinite(value) ? value : null)

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
): AverageRow[] {
  return context.values.map((value) => averageRow(context, value, total, period, lengthMs, denominatorMs, state))
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

function averageRow(
  context: RowContext,
  value: AveragedValue,
  total: Accumulator,
  period: Period,
  lengthMs: number,
  denominatorMs: number,
  state: BlockState,
): AverageRow {
  const inputs: number[] = []
  const channel = context.station.channels[value.channel] as StationFile['channels'][number]
  const { group } = value
  const lane = total.laneStart[group] as number
  const reasons = invalidity(context.rule, total, group, lengthMs, denominatorMs)
  // The tail of a reading from before the stretch weighs, but alone it makes no mean.
  const counted = (total.weightMs[group] as number) > 0 && (total.count[group] as number) > 0
  let mean = total.mean(group, lane)
  let minimum = counted ? finite(total.minimum[group] as number) : null
  let maximum = counted ? finite(total.maximum[group] as number) : null
  let deviation = counted ? total.standardDeviation(group) : null
  if (value.convert && counted) {
    const { convert } = value
    inputs.length = 0
    for (let next = lane; next < (total.laneStart[group + 1] as number); next++) inputs.push(total.mean(group, next))
    mean = convert.convert(inputs)
    const why = convert.reason(inputs)
    if (why) reasons.push(why)
    if (convert.linearInFirst && minimum !== null && maximum !== null) {
      const factor = convert.convert([1])
      minimum = finite(minimum * factor)
      maximum = finite(maximum * factor)
      deviation = deviation === null ? null : finite(deviation * factor)
    } else {
      minimum = null
      maximum = null
      deviation = null
    }
  }
  if (value.convert || value.quantity === 'at_reference_oxygen')
    reasons.push(...peripheralReasons(context, value, total, lengthMs, denominatorMs))
  if (channel.selfZeroing) reasons.push('internal_zero_drift_not_observable')
  for (const [bit, reason] of remarkReasons)
    if (total.remarks & bit && (reason !== 'no_zero_yet' || value.quantity !== 'as_read')) reasons.push(reason)
  if (context.exclusions?.touches(context.groups[group]?.needs ?? [], period.startMs, period.endMs))
    reasons.push('excluded')
  const valid = finite(mean) !== null && !reasons.some((reason) => invalidatingReasons.has(reason))
  const row: AverageRow = {
    stream: channel.stream ?? context.station.channels.find(({ id }) => id === channel.sumOf?.[0])?.stream ?? '',
    channel: channel.id,
    species: channel.species ?? null,
    quantity: value.quantity,
    unit: value.unit,
    basis: value.basis,
    referenceOxygen: value.referenceOxygen,
    conditions: value.conditions,
    average: isoDuration(lengthMs),
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
    state,
    uncertainty: null,
    verdicts: [],
  }
  context.trace?.row(value, total, group, denominatorMs, row)
  return row
}

function peripheralReasons(
  context: RowContext,
  value: AveragedValue,
  total: Accumulator,
  lengthMs: number,
  denominatorMs: number,
): BlockReason[] {
  const converted =
    value.convert ??
    context.plan.values.find(
      ({ channel, quantity, unit }) => channel === value.channel && quantity === value.quantity && unit === value.unit,
    )
  const reasons: BlockReason[] = []
  for (const input of converted?.inputs ?? []) {
    if (input === value.channel) continue
    const alone = context.groupAlone(input)
    if (alone < 0 || invalidity(context.rule, total, alone, lengthMs, denominatorMs).length === 0) continue
    if (context.plan.oxygenChannels.has(input)) reasons.push('oxygen_invalid')
    else if (input === context.plan.moisture) reasons.push('peripheral_invalid')
  }
  return reasons
}
