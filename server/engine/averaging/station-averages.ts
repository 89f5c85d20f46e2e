import type { EngineContext } from '../context.ts'
import { longestHoldMs } from '../corrections/longest-hold.ts'
import type { Accumulator } from './accumulator.ts'
import { joinedParts, partOf, rowContext, settledRowContext } from './average-part.ts'
import { AverageSet } from './average-set.ts'
import { biasedRunContext } from './biased-run-context.ts'
import { CrossStreamMinutes } from './cross-stream.ts'
import { gridOfRun } from './grid-of-run.ts'
import { StreamCombinations } from './stream-combinations.ts'

/** How many minutes one stream may lag behind another before their minutes are no longer joined. */
const longestLagMinutes = 120

/** The averages of one stream from a run's start on. `onMinute`: told of each finished minute before it is overwritten. */
export function streamSet(
  context: EngineContext,
  stream: string,
  runStartMs: number,
  finalAfterMs: number,
  onFinished: (set: AverageSet) => void,
  onMinute: (startMs: number, minute: Accumulator) => void,
): AverageSet {
  const part = partOf(context.averagePlan, stream)
  const { averaging } = context.station
  return new AverageSet({
    groups: part.groups,
    context: rowContext(context, part),
    grid: gridOfRun(context, runStartMs),
    blocks: averaging.blocks,
    rolling: averaging.rolling,
    finalAfterMs,
    runStartMs,
    runningMs: (from, to) => context.plant.runningMs(from, to),
    onFinished,
    runContext: (rows, fromMs, toMs) => biasedRunContext(rows, context.checks, fromMs, toMs),
    // What still waits for a zero is told by the settled set.
    onRun: (results) => context.runResults.push(...results.filter(({ row }) => row.state === 'final')),
    onMinute: (startMs, minute, start) => {
      context.crossStream?.minute(stream, startMs, minute, part.groups, start)
      onMinute(startMs, minute)
    },
  })
}

/** The averages of one stream that stand: of minutes whose zeros are known before and after. */
export function settledSet(
  context: EngineContext,
  stream: string,
  runStartMs: number,
  finalAfterMs: number,
): AverageSet {
  const part = partOf(context.averagePlan, stream)
  const { averaging } = context.station
  return new AverageSet({
    groups: part.groups,
    context: settledRowContext(context, part),
    grid: gridOfRun(context, runStartMs),
    blocks: averaging.blocks,
    rolling: averaging.rolling,
    finalAfterMs,
    runStartMs,
    runningMs: (from, to) => context.plant.runningMs(from, to),
    runContext: (rows, fromMs, toMs) => biasedRunContext(rows, context.checks, fromMs, toMs),
    onRun: (results) => context.runResults.push(...results),
    onMinute: (startMs, minute, start) =>
      context.crossStreamSettled?.minute(stream, startMs, minute, part.groups, start),
  })
}

/** Averages across streams, where the station has values that need them. */
export function joinedAverages(context: EngineContext): StreamCombinations | null {
  const sets = joinedParts(context.averagePlan).map(
    (part) => new CrossStreamMinutes(context, part, rowContext(context, part), longestLagMinutes),
  )
  return sets.length === 0 ? null : new StreamCombinations(context, sets, longestLagMinutes)
}

/** The same of minutes whose zeros are known: one stream may lag behind as long as a minute waits for its zero. */
export function settledJoinedAverages(context: EngineContext): StreamCombinations | null {
  const lagMinutes = longestLagMinutes + longestHoldMs / 60_000
  const sets = joinedParts(context.averagePlan).flatMap((part) => {
    const rows = settledRowContext(context, part)
    return rows.values.length === 0 ? [] : [new CrossStreamMinutes(context, part, rows, lagMinutes)]
  })
  return sets.length === 0 ? null : new StreamCombinations(context, sets, lagMinutes)
}
