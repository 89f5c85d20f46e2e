import type { Unit } from '../../../protocols/words/units.ts'
import type { Accumulator } from '../averaging/accumulator.ts'
import type { AveragedValue, AveragePlan } from '../averaging/average-values.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { StationFile } from '../settings/station-shape.ts'
import { budgetPlans, type ValuePlan } from './budget-plan.ts'
import {
  type DoubtSink,
  type DoubtSource,
  inputMeans,
  type Stretch,
  sensitivities,
  tellContributions,
} from './contributions.ts'
import type { ZeroRecord } from './zero-record.ts'

/** About 95 % where many contributions add up (JCGM 100:2008, 6.3.3). */
export const coverageFactor = 2

/** One line of a budget. */
export interface Contribution {
  readonly source: DoubtSource
  /** Id of the channel whose quantity it is; null where one cause acts on several. */
  readonly channel: string | null
  /** Id of the gas channel that is read beside it; null for other sources. */
  readonly from: string | null
  /** Standard uncertainty of the input, in `unit`. */
  readonly standard: number
  /** null: a share of the gas's volume. */
  readonly unit: Unit | null
  readonly distribution: 'normal' | 'rectangular'
  /** null: a stated limit, of which no number of observations is known. */
  readonly degreesOfFreedom: number | null
  /** ∂value/∂input. */
  readonly sensitivity: number
  /** |sensitivity · standard|, in the value's unit. */
  readonly contribution: number
  /** Of the combined variance, %. */
  readonly sharePercent: number
}

/** The uncertainty budget of one mean, the largest contribution first. */
export interface Budget {
  readonly value: number
  readonly unit: Unit
  readonly combined: number
  readonly coverageFactor: number
  readonly expanded: number
  /** Welch-Satterthwaite (JCGM 100:2008, G.4.1); null: without bound. */
  readonly effectiveDegreesOfFreedom: number | null
  readonly contributions: readonly Contribution[]
}

class VarianceSum implements DoubtSink {
  variance = 0
  add(_source: DoubtSource, _channel: number, _other: number, standard: number, sensitivity: number): void {
    this.variance += (standard * sensitivity) ** 2
  }
}

/**
 * Uncertainties of the means of one set of averages, by the law of propagation (JCGM 100:2008, 5.1.2): independent sources,
 * each with its effect on all inputs that it acts on, so that a common one (the cooler's water, the moisture) is correlated
 * as it should be. What is in it, and what is not: docs/uncertainty.md. Asked for each row: it makes no object but one number.
 */
export class UncertaintyBudgets {
  private readonly station: StationFile
  private readonly zeros: ZeroRecord
  private readonly plans: Map<AveragedValue, ValuePlan>
  private readonly means: Float64Array
  private readonly slopes: Float64Array

  constructor(
    station: StationFile,
    plan: ConversionPlan,
    part: Pick<AveragePlan, 'groups' | 'values'>,
    zeros: ZeroRecord,
  ) {
    this.station = station
    this.zeros = zeros
    this.plans = budgetPlans(station, plan, part)
    const most = Math.max(1, ...[...this.plans.values()].map(({ inputs }) => inputs.length))
    this.means = new Float64Array(most)
    this.slopes = new Float64Array(most)
  }

  /** U (k = 2) of the mean of `value` over the stretch, in its unit; null where it has no budget or no mean. */
  expanded(value: AveragedValue, total: Accumulator, stretch: Stretch): number | null {
    const plan = this.plans.get(value)
    if (!plan) return null
    const sum = new VarianceSum()
    this.tell(plan, total, stretch, sum)
    const expanded = coverageFactor * Math.sqrt(sum.variance)
    return Number.isFinite(expanded) ? expanded : null
  }

  /** The same, line by line. */
  budgetOf(value: AveragedValue, total: Accumulator, stretch: Stretch): Budget | null {
    const plan = this.plans.get(value)
    if (!plan) return null
    const found: Omit<Contribution, 'sharePercent'>[] = []
    const { channels } = this.station
    this.tell(plan, total, stretch, {
      add(source, channel, other, standard, sensitivity, isRectangular, freedom) {
        found.push({
          source,
          channel: channels[channel]?.id ?? null,
          from: channels[other]?.id ?? null,
          standard,
          unit: channels[channel]?.unit ?? null,
          distribution: isRectangular ? 'rectangular' : 'normal',
          degreesOfFreedom: Number.isFinite(freedom) ? freedom : null,
          sensitivity,
          contribution: Math.abs(sensitivity * standard),
        })
      },
    })
    const combined = combine(found)
    if (!Number.isFinite(combined.combined)) return null
    return { value: this.valueOf(plan), unit: value.unit, ...combined }
  }

  private tell(plan: ValuePlan, total: Accumulator, stretch: Stretch, sink: DoubtSink): void {
    inputMeans(plan, total, this.means)
    sensitivities(plan, this.means, this.slopes)
    tellContributions(plan, total, this.zeros, stretch, this.means, this.slopes, sink)
  }

  private valueOf(plan: ValuePlan): number {
    if (plan.convert) return plan.convert.convert(this.means)
    return plan.factors.reduce((sum, factor, place) => sum + factor * (this.means[place] as number), 0)
  }
}

/**
 * Independent contributions together: root of the sum of squares, ranked, with the effective degrees of freedom after
 * Welch-Satterthwaite. Source: JCGM 100:2008, eq. 10 and G.2b; worked: tests/standards/uncertainty-of-means.test.ts.
 */
export function combine(
  found: readonly Omit<Contribution, 'sharePercent'>[],
): Pick<Budget, 'combined' | 'coverageFactor' | 'expanded' | 'effectiveDegreesOfFreedom' | 'contributions'> {
  const variance = found.reduce((sum, { contribution }) => sum + contribution ** 2, 0)
  const combined = Math.sqrt(variance)
  const perFreedom = found.reduce(
    (sum, { contribution, degreesOfFreedom }) =>
      degreesOfFreedom === null ? sum : sum + contribution ** 4 / Math.max(1, degreesOfFreedom),
    0,
  )
  return {
    combined,
    coverageFactor,
    expanded: coverageFactor * combined,
    effectiveDegreesOfFreedom: perFreedom > 0 ? combined ** 4 / perFreedom : null,
    contributions: found
      .map((one) => ({ ...one, sharePercent: variance > 0 ? (100 * one.contribution ** 2) / variance : 0 }))
      .sort((a, b) => b.contribution - a.contribution),
  }
}
