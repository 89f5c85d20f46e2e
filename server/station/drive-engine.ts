import type { EngineEvent, LineEvent, RecordedEvent } from '../engine/events.ts'
import type { EngineOutput, ReadingOutput } from '../engine/outputs.ts'
import { PassingTime } from '../engine/passing-time.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine, type EngineOptions, type EngineState } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { readLogBatches } from '../sources/read-log.ts'
import type { LogArrivals } from './log-arrivals.ts'
import { RunEngines } from './run-engines.ts'

export type TakeOutputs = (outputs: readonly EngineOutput[], event: EngineEvent) => void

/**
 * Sends events through a fresh engine, or through two where something amends the run; what they put out goes to `take`. Events
 * may be made by what the engine knows. Returns the engine whose averages are in force.
 */
export function drive(
  station: StationFile,
  events: Iterable<EngineEvent> | ((engine: EngineState) => Iterable<EngineEvent>),
  take: TakeOutputs,
  options: EngineOptions = {},
): EngineState {
  const engines = new RunEngines(station, options)
  const passing = new PassingTime()
  const through = (event: EngineEvent): void => {
    const outputs = engines.step(event)
    if (outputs.length > 0) take(outputs, event)
  }
  for (const event of typeof events === 'function' ? events(engines.inForce) : events) {
    passing.before(event).forEach(through)
    through(event)
  }
  return engines.inForce
}

/**
 * The readings that events give, from an engine of their own each time they are gone through: a night of them need not be
 * held. `events`: the same ones each time.
 */
export const readingsOf = (
  station: StationFile,
  events: (engine: EngineState) => Iterable<EngineEvent>,
  options: Pick<EngineOptions, 'unendedCounts' | 'amendments'> = {},
): Iterable<ReadingOutput> => ({
  *[Symbol.iterator]() {
    const engine = createEngine(station, { ...options, listening: true })
    for (const event of events(engine))
      for (const output of step(engine, event)[1]) if (output.kind === 'reading') yield output
  },
})

/**
 * The events of a text log: a run around its lines. A log knows no times of arrival, so each line arrives when it says
 * itself (`arrivals`), or, where the station keys readings by arrival, one step after the other from 1970 on.
 */
export function* logEvents(
  station: StationFile,
  path: string,
  arrivals: LogArrivals,
  onProgress?: (bytes: number) => void,
): Generator<RecordedEvent> {
  const stream = station.streams[0] as StationFile['streams'][number]
  const lineEnd = 'lineEnd' in stream.source ? stream.source.lineEnd : 'auto'
  let at = Number.NaN
  let sequence = 0
  for (const batch of readLogBatches(path, { lineEnd, ...(onProgress ? { onProgress } : {}) })) {
    for (const { bytes, piece } of batch) {
      const arrived = arrivals(bytes, at, piece)
      if (Number.isNaN(at))
        yield { kind: 'run', change: 'start', reason: 'import', by: null, atMs: arrived, monotonicMs: 0 }
      at = arrived
      sequence++
      yield { kind: 'line', sequence, stream: stream.id, atMs: at, monotonicMs: 0, bytes, piece } satisfies LineEvent
    }
  }
  // Keyed by arrival, the last line's own step belongs to the run; keyed by the line, the engine adds it on the line's clock.
  const endMs = stream.timeFrom === 'arrival' ? at + stream.expectEverySeconds * 1000 : at
  if (!Number.isNaN(at))
    yield { kind: 'run', change: 'end', reason: 'end-of-log', by: null, atMs: endMs, monotonicMs: 0 }
}
