import { publishRevised, publishRows } from './averaging/publish-rows.ts'
import type { ClockEvent, EngineEvent, LineEvent, LinkEvent, OperatorEvent, RunEvent } from './events.ts'
import type { EngineOutput } from './outputs.ts'
import type { EngineState } from './state.ts'
import { passTime, putFollowing } from './timers.ts'
import { isAmendment } from './told-amendments.ts'

const nothing: readonly EngineOutput[] = []

/**
 * The whole engine: one event in, what follows from it out. Deterministic; no clock, no file, no chance inside.
 *
 * Events come in order of `atMs`. What falls due between two events happens first, in order, each at its own time, so
 * events of passing time change no output. The state is changed in place. The outputs are the caller's to keep.
 */
export function step(state: EngineState, event: EngineEvent): [EngineState, readonly EngineOutput[]] {
  const { context } = state
  // Told hours after the run's end, it must not let those hours pass for what was lived through.
  if (isAmendment(event)) return [state, nothing]
  if (!state.started) {
    state.started = true
    for (const stream of state.streams) stream.health.start(event.atMs)
  }
  passTime(state, event.atMs)
  switch (event.kind) {
    case 'line':
      takeLine(state, event)
      break
    case 'link':
      takeLink(state, event)
      break
    case 'operator':
      takeOperator(state, event)
      break
    case 'clock':
      takeClock(state, event)
      break
    case 'run':
      takeRun(state, event)
      break
    case 'time':
      break
  }
  putFollowing(context)
  if (context.outputs.length === 0) {
    state.quiet ??= [state, nothing]
    return state.quiet
  }
  return [state, context.outputs.splice(0)]
}

function takeLine(state: EngineState, event: LineEvent): void {
  const [first] = state.streams
  if (state.streams.length > 1) for (const stream of state.streams) stream.forgetStale(event.atMs)
  if (first?.settings.id === event.stream) first.takeLine(event)
  else state.streamById.get(event.stream)?.takeLine(event)
}

function takeLink(state: EngineState, event: LinkEvent): void {
  state.streamById.get(event.stream)?.takeLink(event)
}

function takeOperator(state: EngineState, { action, by, atMs }: OperatorEvent): void {
  const { context } = state
  switch (action.do) {
    case 'mark-phase':
      for (const stream of state.streams)
        if (action.stream === null || action.stream === stream.settings.id) stream.mark(action.phase, atMs)
      break
    case 'plant-state':
      // Where streams are keyed by different clocks, the one that is furthest on: no reading so far changes its plant state.
      context.plant.tell('operator', Math.max(...state.streams.map((stream) => stream.keyMs(atMs))), action.state)
      break
    case 'note':
    // Amendments change averages, not what was lived through: they are known from the start when a recording is computed again.
    case 'exclude':
    case 'check':
    case 'withdraw':
      break
    default:
      context.alarms.operate(action, by, atMs)
  }
}

function takeClock(state: EngineState, event: ClockEvent): void {
  if (event.change !== 'speed') return
  state.context.speed = event.speed
  for (const stream of state.streams) stream.speedChanged(event.speed, event.atMs)
}

function takeRun(state: EngineState, event: RunEvent): void {
  const { context } = state
  const { run, station } = context
  if (event.change === 'start') {
    context.runResults.length = 0
    Object.assign(run, { isOn: true, startMs: event.atMs, countedMs: 0, isDue: false, gridStartMs: Number.NaN })
    const { end } = station.run
    state.runDueMs =
      !end || 'afterCountedMinutes' in end
        ? Number.POSITIVE_INFINITY
        : 'at' in end
          ? Date.parse(end.at)
          : event.atMs + end.afterMinutes * 60_000
    for (const stream of state.streams) stream.startRun(event.atMs)
  }
  if (event.change === 'end' && run.isOn) {
    const endOf = new Map<string, number>()
    for (const stream of state.streams) {
      const endMs = stream.endRun(event.atMs)
      if (endMs !== null) endOf.set(stream.settings.id, endMs)
    }
    const joined = context.crossStream?.endRun(endOf) ?? []
    for (const { kind, rows } of joined) publishRows(context, kind, rows, event.atMs)
    const settled = context.crossStreamSettled?.endRun(endOf) ?? []
    for (const { kind, rows } of settled) publishRevised(context, kind, rows, event.atMs)
    for (const { kind, rows } of context.averagesOfBlocks.endRun()) publishRows(context, kind, rows, event.atMs)
    run.isOn = false
    state.runDueMs = Number.POSITIVE_INFINITY
  }
}
