import type { EngineContext } from '../context.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import { judgementsOf } from '../decision/judge.ts'
import { UncertaintyBudgets } from '../uncertainty/budget.ts'
import { type AveragedValue, type AveragePlan, type Group, isOfOneChannel } from './average-values.ts'
import type { RowContext } from './row-context.ts'

/** Part of a station's averages, with groups counted anew. */
export type AveragePart = Pick<AveragePlan, 'groups' | 'values'>

/** The groups and values of one stream, with groups counted anew. */
export const partOf = (plan: AveragePlan, stream: string): AveragePart =>
  partWhere(plan, (group) => group.stream === stream)

/** What is averaged across the same streams: values that need channels of all of them. */
export interface JoinedPart extends AveragePart {
  readonly streams: readonly string[]
}

/**
 * The parts across streams, one for each combination of streams, so that none waits for an instrument of which it needs nothing.
 * Beside its own groups each has those of the streams' single channels: what is told of a value's peripherals and its doubt
 * rests on them, as within one stream.
 */
export function joinedParts(plan: AveragePlan): JoinedPart[] {
  const singles = [...new Map(plan.groups.filter(isOfOneChannel).map((group) => [group.needs[0], group])).values()]
  const streamsOf = ({ needs }: Group): string[] =>
    singles.flatMap(({ stream, needs: [channel] }) =>
      stream !== null && needs.includes(channel as number) ? [stream] : [],
    )
  const combinations = new Map<string, ReadonlySet<string>>()
  const combinationOf = (group: Group): string => JSON.stringify([...new Set(streamsOf(group))].sort())
  for (const group of plan.groups)
    if (group.stream === null) combinations.set(combinationOf(group), new Set(streamsOf(group)))
  return [...combinations].map(([combination, streams]) => {
    const part = partWhere(plan, (group) => group.stream === null && combinationOf(group) === combination)
    const beside = singles.filter(({ stream }) => stream !== null && streams.has(stream))
    return { streams: [...streams], groups: [...part.groups, ...beside], values: part.values }
  })
}

function partWhere(plan: AveragePlan, isOwn: (group: Group) => boolean): AveragePart {
  const own = plan.groups.map((group, index) => ({ group, index })).filter(({ group }) => isOwn(group))
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
    const [channel] = group.needs
    if (isOfOneChannel(group) && channel !== undefined && !alone.has(channel)) alone.set(channel, index)
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
