import type { EngineContext } from '../context.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import { judgementsOf } from '../decision/judge.ts'
import { UncertaintyBudgets } from '../uncertainty/budget.ts'
import type { AveragedValue, AveragePlan } from './average-values.ts'
import type { RowContext } from './row-context.ts'

/** Part of a station's averages, with groups counted anew. */
export type AveragePart = Pick<AveragePlan, 'groups' | 'values'>

/** The groups and values of one stream (or of none: across streams), with groups counted anew. */
export function partOf(plan: AveragePlan, stream: string | null): AveragePart {
  const own = plan.groups.map((group, index) => ({ group, index })).filter(({ group }) => group.stream === stream)
  const place = new Map(own.map(({ index }, at) => [index, at]))
  return {
    groups: own.map(({ group }) => group),
    values: plan.values.flatMap((value) => {
      const group = place.get(value.group)
      return group === undefined ? [] : [inGroup(value, group)]
    }),
  }
}

/** The value with its group counted anew. Written out, as all values are, so that they are alike to whoever reads them for each row. */
const inGroup = (value: AveragedValue, group: number): AveragedValue => ({
  channel: value.channel,
  quantity: value.quantity,
  unit: value.unit,
  basis: value.basis,
  referenceOxygen: value.referenceOxygen,
  conditions: value.conditions,
  group,
  convert: value.convert,
})

/** The channels that a value is converted with, its own included; none where it is not converted. */
export const inputsOf = (plan: ConversionPlan, value: AveragedValue): readonly number[] =>
  (
    value.convert ??
    plan.values.find(
      ({ channel, quantity, unit }) => channel === value.channel && quantity === value.quantity && unit === value.unit,
    )
  )?.inputs ?? []

/** What the rows of such a part are made of. */
export function rowContext(
  context: Pick<
    EngineContext,
    'station' | 'plan' | 'zeroPlan' | 'limitsOfMeans' | 'zeroRecord' | 'exclusions' | 'trace'
  >,
  part: AveragePart,
): RowContext {
  const alone = new Map<number, number>()
  part.groups.forEach((group, index) => {
    const [lane] = group.lanes
    if (
      group.lanes.length === 1 &&
      lane?.from !== 'converted' &&
      group.needs.length === 1 &&
      lane &&
      !alone.has(lane.channel)
    )
      alone.set(lane.channel, index)
  })
  const said = new Map(
    part.values.map((value) => [value, context.zeroPlan.reasons(value, inputsOf(context.plan, value))]),
  )
  const zeroed = new Set(
    part.values.filter((value) => context.zeroPlan.isSubtracted(value, inputsOf(context.plan, value))),
  )
  const provisional = new Set(
    part.values.filter((value) => context.zeroPlan.isHeld(value, inputsOf(context.plan, value))),
  )
  return {
    station: context.station,
    plan: context.plan,
    rule: context.station.averaging.validity,
    values: part.values,
    judgements: judgementsOf(context.station, context.limitsOfMeans, part.values),
    uncertainty: new UncertaintyBudgets(context.station, context.plan, part, context.zeroRecord),
    zerosInterpolated: false,
    areSettled: false,
    groups: part.groups,
    exclusions: context.exclusions,
    trace: context.trace,
    groupAlone: (channel) => alone.get(channel) ?? -1,
    driftReasons: (value, fromMs, toMs) => said.get(value)?.(fromMs, toMs) ?? [],
    isZeroSubtracted: (value) => zeroed.has(value),
    isProvisional: (value) => provisional.has(value),
  }
}

/** The same for the rows that stand: of the values that waited for a zero, now final. */
export function settledRowContext(context: Parameters<typeof rowContext>[0], part: AveragePart): RowContext {
  const whole = rowContext(context, part)
  return {
    ...whole,
    values: part.values.filter(whole.isProvisional),
    isProvisional: () => false,
    zerosInterpolated: context.zeroPlan.interpolates,
    areSettled: true,
  }
}
