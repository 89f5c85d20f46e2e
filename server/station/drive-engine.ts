import { noAmendments } from '../engine/amendments.ts'
import type { EngineEvent, LineEvent } from '../engine/events.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine, type EngineOptions, type EngineState } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { amends } from '../engine/told-amendments.ts'
import { readLogSync } from '../sources/read-log.ts'

export type TakeOutputs = (outputs: readonly EngineOutput[], event: EngineEvent) => void

/** Sends events through a fresh engine; what it puts out goes to `take`. */
export function drive(
  station: StationFile,
  events: Iterable<EngineEvent>,
  take: TakeOutputs,
  options: EngineOptions = {},
): EngineState {
  const engine = createEngine(station, options)
  for (const event of events) {
    const [, outputs] = step(engine, event)
    if (outputs.length > 0) take(outputs, event)
  }
  return engine
}

const isRow = ({ kind }: EngineOutput): boolean => kind === 'block' || kind === 'rolling'

/**
 * A recorded run through the engine: as it was lived through, and, where something amends it, as amended beside it. Averages
 * come from the amended engine, all else from the other. Returns the engine whose averages are in force.
 */
export function driveAmended(
  station: StationFile,
  events: Iterable<EngineEvent>,
  take: TakeOutputs,
  { amendments = noAmendments, ...options }: EngineOptions,
): EngineState {
  if (!amends(amendments)) return drive(station, events, take, options)
  const lived = createEngine(station, options)
  const inForce = createEngine(station, { ...options, listening: false, amendments })
  for (const event of events) {
    const [, livedOutputs] = step(lived, event)
    const [, amendedOutputs] = step(inForce, event)
    const outputs = [...livedOutputs.filter((output) => !isRow(output)), ...amendedOutputs.filter(isRow)]
    if (outputs.length > 0) take(outputs, event)
  }
  return inForce
}

/**
 * The events of a text log: a run around its lines. A log knows no times of arrival, so each line arrives when it says
 * itself (`arrivals`), or, where the station keys readings by arrival, one step after the other from 1970 on.
 */
export function* logEvents(
  station: StationFile,
  path: string,
  arrivals: (bytes: Uint8Array, previousMs: number) => number,
  onProgress?: (bytes: number) => void,
): Generator<EngineEvent> {
  const stream = station.streams[0] as StationFile['streams'][number]
  const lineEnd = 'lineEnd' in stream.source ? stream.source.lineEnd : 'auto'
  let at = Number.NaN
  let sequence = 0
  for (const { bytes, piece } of readLogSync(path, { lineEnd, ...(onProgress ? { onProgress } : {}) })) {
    const arrived = arrivals(bytes, at)
    if (Number.isNaN(at))
      yield { kind: 'run', change: 'start', reason: 'import', by: null, atMs: arrived, monotonicMs: 0 }
    at = arrived
    sequence++
    yield { kind: 'line', sequence, stream: stream.id, atMs: at, monotonicMs: 0, bytes, piece } satisfies LineEvent
  }
  // Keyed by arrival, the last line's own step belongs to the run; keyed by the line, the engine adds it on the line's clock.
  const endMs = stream.timeFrom === 'arrival' ? at + stream.expectEverySeconds * 1000 : at
  if (!Number.isNaN(at))
    yield { kind: 'run', change: 'end', reason: 'end-of-log', by: null, atMs: endMs, monotonicMs: 0 }
}
