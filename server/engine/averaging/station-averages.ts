import type { EngineContext } from '../context.ts'
import type { Accumulator } from './accumulator.ts'
import { partOf, rowContext } from './average-part.ts'
import { AverageSet } from './average-set.ts'
import { CrossStreamMinutes } from './cross-stream.ts'
import { runGrid } from './grid.ts'

/** The averages of one stream from a run's start on. */
export function streamSet(
  context: EngineContext,
  stream: string,
  runStartMs: number,
  finalAfterMs: number,
  onFinished: (set: AverageSet) => void,
): AverageSet {
  const part = partOf(context.averagePlan, stream)
  const { averaging } = context.station
  return new AverageSet({
    groups: part.groups,
    context: rowContext(context, part),
    grid: averaging.align === 'run' ? runGrid(runStartMs) : context.clockGrid,
    blocks: averaging.blocks,
    rolling: averaging.rolling,
    finalAfterMs,
    runStartMs,
    runningMs: (from, to) => context.plant.runningMs(from, to),
    onFinished,
    onRun: (results) => context.runResults.push(...results),
    ...(context.crossStream
      ? {
          onMinute: (startMs: number, minute: Accumulator, start: number) =>
            context.crossStream?.minute(stream, startMs, minute, part.groups, start),
        }
      : {}),
  })
}

/** Averages across streams, where the station has values that need them. */
export function crossStreamMinutes(context: EngineContext): CrossStreamMinutes | null {
  const part = partOf(context.averagePlan, null)
  return part.groups.length === 0 ? null : new CrossStreamMinutes(context, part)
}
