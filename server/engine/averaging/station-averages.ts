import type { EngineContext } from '../context.ts'
import type { Accumulator } from './accumulator.ts'
import { AverageSet } from './average-set.ts'
import type { AveragePlan } from './average-values.ts'
import { CrossStreamMinutes } from './cross-stream.ts'
import { runGrid } from './grid.ts'
import type { RowContext } from './rows.ts'

/** The groups and values of one stream (or of none: across streams), with groups counted anew. */
export function partOf(plan: AveragePlan, stream: string | null): { readonly groups: AveragePlan['groups']; readonly values: AveragePlan['values'] } {
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

export function rowContext(context: EngineContext, part: ReturnType<typeof partOf>): RowContext {
  const alone = new Map<number, number>()
  part.groups.forEach((group, index) => {
    const [lane] = group.lanes
    if (group.lanes.length === 1 && lane?.from !== 'converted' && group.needs.length === 1 && lane && !alone.has(lane.channel)) alone.set(lane.channel, index)
  })
  return { station: context.station, plan: context.plan, rule: context.station.averaging.validity, values: part.values, groupAlone: (channel) => alone.get(channel) ?? -1 }
}

/** The averages of one stream from a run's start on. */
export function streamSet(context: EngineContext, stream: string, runStartMs: number, finalAfterMs: number, onFinished: (set: AverageSet) => void): AverageSet {
  const part = partOf(context.averagePlan, stream)
  const { averaging } = context.station
  return new AverageSet({
    groups: part.groups, context: rowContext(context, part), grid: averaging.align === 'run' ? runGrid(runStartMs) : context.clockGrid,
    blocks: averaging.blocks, rolling: averaging.rolling, finalAfterMs, runStartMs,
    runningMs: (from, to) => context.plant.runningMs(from, to), onFinished,
    ...(context.crossStream ? { onMinute: (startMs: number, minute: Accumulator) => context.crossStream?.minute(stream, startMs, minute, part.groups) } : {}),
  })
}

/** Averages across streams, where the station has values that need them. */
export function crossStreamMinutes(context: EngineContext): CrossStreamMinutes | null {
  const part = partOf(context.averagePlan, null)
  return part.groups.length === 0 ? null : new CrossStreamMinutes(context, part)
}
