import type { Accumulator } from '../averaging/accumulator.ts'
import type { BudgetInput, ValuePlan } from './budget-plan.ts'
import type { ZeroRecord } from './zero-record.ts'

/** Where doubt comes from; the names that `explain` prints. */
export const doubtSources = [
  'repeatability',
  'unsampled-time',
  'resolution',
  'zero-drift',
  'zero-left-in',
  'span-drift',
  'calibration-gas',
  'linearity',
  'cross-sensitivity',
  'response',
  'residual-water',
  'moisture',
] as const
export type DoubtSource = (typeof doubtSources)[number]

/** Told of each contribution: u (standard) of an input or of a common cause, and the sensitivity of the value to it. */
export interface DoubtSink {
  /** `channel`: whose quantity it is; -1: of several at once. `other`: the gas that is read beside it; -1: none. `freedom`: degrees of freedom, Infinity where a limit is stated. */
  add(
    source: DoubtSource,
    channel: number,
    other: number,
    standard: number,
    sensitivity: number,
    isRectangular: boolean,
    freedom: number,
  ): void
}

/** The stretch that a mean stands for. */
export interface Stretch {
  readonly endMs: number
  /** Its time in plant state running, ms. */
  readonly denominatorMs: number
  /** Whether the zeros on both sides are known and a line was laid between them. */
  readonly zerosInterpolated: boolean
}

const root3 = Math.sqrt(3)
const root12 = Math.sqrt(12)
/** A first-order response reaches 95 % after three time constants (ln 20 = 2.996). */
const timeConstantsToT95 = 3

/** Means of a value's inputs, in the channels' units; into `means`. */
export function inputMeans(plan: ValuePlan, total: Accumulator, means: Float64Array): void {
  for (let place = 0; place < plan.inputs.length; place++) {
    const input = plan.inputs[place] as BudgetInput
    const group = plan.value.convert ? plan.value.group : input.group
    const lane = plan.value.convert ? place : 0
    means[place] = total.mean(group, (total.laneStart[group] as number) + lane)
  }
}

/** What the value changes by when one input does: ∂value/∂input by central differences, which are exact for what is linear. Into `slopes`. */
export function sensitivities(plan: ValuePlan, means: Float64Array, slopes: Float64Array): void {
  const { convert } = plan
  for (let place = 0; place < plan.inputs.length; place++) {
    if (!convert) {
      slopes[place] = plan.factors[place] as number
      continue
    }
    const mean = means[place] as number
    const step = 1e-5 * Math.max(1, Math.abs(mean))
    means[place] = mean + step
    const above = convert.convert(means)
    means[place] = mean - step
    const below = convert.convert(means)
    means[place] = mean
    // At the edge of what can be formed (the guard of the oxygen) only one side exists.
    slopes[place] = Number.isNaN(above)
      ? (convert.convert(means) - below) / step
      : Number.isNaN(below)
        ? (above - convert.convert(means)) / step
        : (above - below) / (2 * step)
  }
}

/** Tells `sink` every contribution to the doubt of one mean. `means`, `slopes`: of the plan's inputs. Sources: docs/uncertainty.md. */
export function tellContributions(
  plan: ValuePlan,
  total: Accumulator,
  zeros: ZeroRecord,
  stretch: Stretch,
  means: Float64Array,
  slopes: Float64Array,
  sink: DoubtSink,
): void {
  let water = 0
  let waterShare = 0
  let dried = 0
  for (let place = 0; place < plan.inputs.length; place++) {
    const input = plan.inputs[place] as BudgetInput
    const mean = means[place] as number
    const slope = slopes[place] as number
    tellScatter(input, total, stretch, slope, sink)
    const perUnitShown = input.perUnitShown === 'told' ? total.dilution : input.perUnitShown
    tellZero(input, zeros, stretch, perUnitShown, slope, sink)
    tellPapers(input, total, mean, perUnitShown, slope, sink)
    // One cooler dries the gas of all cells: what it leaves lowers them all alike.
    if (input.papers.residualWater > 0) {
      water += slope * mean
      waterShare = Math.max(waterShare, input.papers.residualWater)
    }
    if (input.isDried) dried += slope * mean
  }
  if (waterShare > 0) sink.add('residual-water', -1, -1, waterShare / root3, water, true, Number.POSITIVE_INFINITY)
  if (plan.fixedMoisture > 0) sink.add('moisture', -1, -1, plan.fixedMoisture, dried, true, Number.POSITIVE_INFINITY)
}

/** What the readings themselves tell: their scatter, the time in which none counted, the lag behind a gas that changes. */
function tellScatter(
  { channel, group, t95Seconds }: BudgetInput,
  total: Accumulator,
  { denominatorMs }: Stretch,
  slope: number,
  sink: DoubtSink,
): void {
  const count = total.count[group] as number
  const countedMs = total.weightMs[group] as number
  if (!(count > 0 && countedMs > 0)) return
  const seen = total.variation.of(group, count, total.squares[group] as number)
  const hasWithin = !Number.isNaN(seen.within)
  const hasBetween = !Number.isNaN(seen.between)

  // Readings within one response of the cell repeat each other: so many of them are independent.
  const twoTimeConstantsMs = (2000 * t95Seconds) / timeConstantsToT95
  const independent = Math.max(1, Math.min(count, twoTimeConstantsMs > 0 ? countedMs / twoTimeConstantsMs : count))
  const scatter = hasWithin ? seen.within / Math.sqrt(independent) : seen.between / Math.sqrt(seen.minutes)
  if (!Number.isNaN(scatter))
    sink.add('repeatability', channel, -1, scatter, slope, false, hasWithin ? seen.withinFreedom : seen.minutes - 1)

  const missing = denominatorMs > 0 ? 1 - Math.min(1, countedMs / denominatorMs) : 0
  if (missing > 0 && (hasBetween || hasWithin)) {
    const { autocorrelation: alike } = seen
    const blocks = hasBetween ? Math.max(1, (seen.minutes * (1 - alike)) / (1 + alike)) : 1
    const spread = hasBetween ? seen.between : seen.within
    sink.add(
      'unsampled-time',
      channel,
      -1,
      spread * Math.sqrt(missing / blocks),
      slope,
      false,
      hasBetween ? seen.minutes - 1 : seen.withinFreedom,
    )
  }

  const change = hasBetween ? Math.abs(seen.change) : hasWithin ? seen.within * root12 : 0
  if (t95Seconds > 0 && change > 0)
    sink.add(
      'response',
      channel,
      -1,
      (Math.min(1, (1000 * t95Seconds) / countedMs) * change) / root3,
      slope,
      true,
      Number.POSITIVE_INFINITY,
    )
}

function tellZero(
  { channel, papers, zero }: BudgetInput,
  zeros: ZeroRecord,
  { endMs, zerosInterpolated }: Stretch,
  perUnitShown: number,
  slope: number,
  sink: DoubtSink,
): void {
  if (zero === 'not-seen' || !zeros.has(channel)) {
    sink.add(
      'zero-drift',
      channel,
      -1,
      (perUnitShown * papers.zeroDriftOfDay) / root3,
      slope,
      true,
      Number.POSITIVE_INFINITY,
    )
    return
  }
  const meanSquare = zeros.meanSquareChange(channel, endMs, papers.zeroDriftOfDay)
  // Between two zeros an irregular drift departs from the straight line by a sixth of its mean square (a Brownian bridge), from the last zero by a third (even spread).
  const drift = meanSquare / (zerosInterpolated && zero === 'subtracted' ? 6 : 3) + zeros.meanVariance(channel)
  sink.add('zero-drift', channel, -1, perUnitShown * Math.sqrt(drift), slope, true, 1 + zeros.changes(channel))
  if (zero === 'left-in')
    sink.add('zero-left-in', channel, -1, Math.abs(zeros.newest(channel)), slope, false, Number.POSITIVE_INFINITY)
}

function tellPapers(
  { channel, papers, cross }: BudgetInput,
  total: Accumulator,
  mean: number,
  perUnitShown: number,
  slope: number,
  sink: DoubtSink,
): void {
  const size = Math.abs(mean)
  const never = Number.POSITIVE_INFINITY
  sink.add('resolution', channel, -1, (perUnitShown * papers.resolution) / root12, slope, true, never)
  sink.add('calibration-gas', channel, -1, papers.calibrationGas * size, slope, false, never)
  const linearity = Math.max(perUnitShown * papers.linearity, papers.linearityShare * size)
  sink.add('linearity', channel, -1, linearity / root3, slope, true, never)
  sink.add('span-drift', channel, -1, (papers.spanDriftShare * size) / root3, slope, true, never)
  for (let next = 0; next < cross.length; next++) {
    const { channel: other, group, factor } = cross[next] as BudgetInput['cross'][number]
    const beside = Math.abs(total.mean(group, total.laneStart[group] as number))
    if (beside > 0) sink.add('cross-sensitivity', channel, other, (factor * beside) / root3, slope, true, never)
  }
}
