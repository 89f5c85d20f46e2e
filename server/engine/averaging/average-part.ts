import type { EngineContext } from '../context.ts'
import type { AveragePlan } from './average-values.ts'
import type { RowContext } from './rows.ts'

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
      return group === undefined ? [] : [{ ...value, group }]
    }),
  }
}

/** What the rows of such a part are made of. */
export function rowContext(
  context: Pick<EngineContext, 'station' | 'plan' | 'exclusions' | 'trace'>,
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
  return {
    station: context.station,
    plan: context.plan,
    rule: context.station.averaging.validity,
    values: part.values,
    groups: part.groups,
    exclusions: context.exclusions,
    trace: context.trace,
    groupAlone: (channel) => alone.get(channel) ?? -1,
  }
}
