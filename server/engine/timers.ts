import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { stationAxis } from './alarms/book.ts'
import { publishRevised, publishRows } from './averaging/publish-rows.ts'
import type { EngineContext } from './context.ts'
import type { EngineState } from './state.ts'
import type { Stream } from './stream.ts'

/**
 * Puts out what follows from an instant beyond its streams: averages across them as soon as every stream has finished
 * their minute, and what alarms did. After each instant at which something fell due, so that its place among the outputs
 * does not depend on when somebody looked.
 */
export function putFollowing(context: EngineContext): void {
  if (context.crossStream) {
    for (const { kind, rows, dueMs } of context.crossStream.finished()) publishRows(context, kind, rows, dueMs)
  }
  for (const { kind, rows, dueMs } of context.crossStreamSettled?.finished() ?? [])
    publishRevised(context, kind, rows, dueMs)
  const transitions = context.alarms.take()
  for (let next = 0; next < transitions.length; next++)
    context.outputs.push({ kind: 'alarm', transition: transitions[next] as AlarmTransition })
}

/** When time alone next brings something; Infinity where it never does. `toMs`: how far it is asked, for what is due later need not be exact. */
export function nextDueMs({ context, streams, runDueMs }: EngineState, toMs = Number.POSITIVE_INFINITY): number {
  let due = Math.min(context.stationAxis.nextDueMs, runDueMs)
  for (let index = 0; index < streams.length; index++) {
    const stream = streams[index] as Stream
    due = Math.min(due, stream.health.nextDueMs(), stream.stationDueMs(toMs))
  }
  return due
}

/**
 * Lets the station's clock pass to `toMs`: whatever falls due by itself happens in order of its due time, at that time.
 * Streams keyed by arrival run on this clock; streams keyed by their lines run on their own.
 */
export function passTime(state: EngineState, toMs: number): void {
  const { context, streams } = state
  for (;;) {
    const due = nextDueMs(state, toMs)
    if (due > toMs) break
    context.nowMs = due
    if (due === state.runDueMs) {
      state.runDueMs = Number.POSITIVE_INFINITY
      context.run.isDue = true
      context.outputs.push({
        kind: 'run-due',
        atMs: due,
        rule: context.station.run.end && 'at' in context.station.run.end ? 'at' : 'minutes',
      })
      continue
    }
    for (const stream of streams) {
      stream.health.advance(due)
      if (stream.stationDueMs(due) <= due) stream.passStationTime(due)
    }
    context.alarms.advance(stationAxis, due)
    putFollowing(context)
  }
  context.nowMs = toMs
}
