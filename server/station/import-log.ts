import { existsSync } from 'node:fs'
import { setImmediate as nextTurn } from 'node:timers/promises'
import { engineVersion } from '../engine/engine-version.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { createRecording } from '../recording/recording-writer.ts'
import { Trouble } from '../trouble.ts'
import { derivedRows, TraceMinutes } from './derived-rows.ts'
import { logEvents } from './drive-engine.ts'
import { logArrivals } from './log-arrivals.ts'

/** So many inputs are worked on while those before them are stored, and no more wait: memory stays flat. */
const inputsAhead = 8192
/** After so many the writer hands its thread what is next. */
const inputsATurn = 512

export interface Imported {
  readonly lines: number
  readonly refused: number
  readonly blocks: number
  readonly refusals: Readonly<Record<string, number>>
  /** Its lines tell no time; they count from 1970. */
  readonly isUntimed: boolean
}

/** A text log becomes a recording, with the averages that its lines give. Refuses to overwrite. */
export async function importLogTo(
  log: string,
  station: StationFile,
  settings: string,
  out: string,
  onProgress?: (bytes: number) => void,
): Promise<Imported> {
  if (existsSync(out)) throw new Trouble(`${out}: is there already; recordings are never overwritten`)
  const writer = await createRecording(out, {
    runName: log.split('/').at(-1) ?? 'log',
    station: station.station.name,
    settings,
    madeMs: Date.now(),
    engineVersion,
    standby: false,
    invented: false,
    origin: 'imported',
    numberOfRuns: [1, 1],
  })
  const engine = createEngine(station, { listening: true, unendedCounts: true })
  const trace = new TraceMinutes(station)
  const refusals: Record<string, number> = {}
  let lines = 0
  let blocks = 0
  let inputs = 0
  let stored = Promise.resolve()
  for (const event of logEvents(station, log, logArrivals(station, log, engine), onProgress)) {
    if (event.kind === 'time') continue
    writer.append(event)
    if (event.kind === 'line') lines++
    const [, outputs] = step(engine, event)
    for (const output of outputs) {
      if (output.kind === 'refused') refusals[output.reason] = (refusals[output.reason] ?? 0) + 1
      if (output.kind === 'block' && !output.revises) blocks++
    }
    writer.derive(derivedRows(outputs, trace, event.atMs))
    if (++inputs % inputsATurn === 0) await nextTurn()
    if (inputs % inputsAhead > 0) continue
    await stored
    stored = writer.flush()
    stored.catch(() => {}) // A failure is met where it is waited for: here the next time round, or by the close.
  }
  writer.derive(trace.rest())
  await writer.close()
  const isUntimed = engine.context.run.startMs === 0
  return { lines, blocks, refusals, isUntimed, refused: Object.values(refusals).reduce((sum, count) => sum + count, 0) }
}
