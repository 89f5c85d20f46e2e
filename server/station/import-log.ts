import { constants, existsSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { setImmediate as nextTurn } from 'node:timers/promises'
import type { RefusalReason } from '../../protocols/instrument/reader.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import type { RecordingWriter } from '../recording/recording.ts'
import { createRecording } from '../recording/recording-writer.ts'
import { refusedRight } from '../refused-right.ts'
import { partBeside } from '../reports/atomic-file.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { derivedRows, TraceMinutes } from './derived-rows.ts'
import { logEvents } from './drive-engine.ts'
import { isRecording } from './is-recording.ts'
import { logArrivals, saidOfTimes } from './log-arrivals.ts'

/** So many inputs are worked on while those before them are stored, and no more wait: memory stays flat. */
const inputsAhead = 8192
/** After so many the writer hands its thread what is next. */
const inputsATurn = 512

export interface Imported {
  readonly lines: number
  readonly refused: number
  readonly blocks: number
  readonly refusals: Readonly<Partial<Record<RefusalReason, number>>>
  /** Its lines tell no time; they count from 1970. */
  readonly isUntimed: boolean
  /** What is to be said of its times; null: nothing. */
  readonly ofTimes: string | null
}

/**
 * A text log becomes a recording, with the averages that its lines give. It appears under its name when it is whole; what
 * fails or is stopped by `halt` leaves nothing. Refuses to overwrite.
 */
export async function importLogTo(
  log: string,
  station: StationFile,
  settings: string,
  out: string,
  { onProgress, halt }: { readonly onProgress?: (bytes: number) => void; readonly halt?: AbortSignal } = {},
): Promise<Imported> {
  if (isRecording(log)) throw new Trouble(`${log}: is a recording, no text log; it needs no import`)
  if (existsSync(out)) throw isThere(out)
  if (!existsSync(dirname(out))) throw new Trouble(`${out}: there is no folder ${dirname(out)}; make it first`)
  // Asked before: until it is whole, a recording is made under a name that nobody gave.
  if (refusedRight(dirname(out), constants.W_OK | constants.X_OK) !== null)
    throw new Trouble(`${out}: cannot be written: no permission to write into its folder; choose another --out`)
  const part = partBeside(out)
  const writer = await createRecording(part, {
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
  try {
    const imported = await fill(writer, log, station, onProgress, halt)
    await writer.close()
    if (existsSync(out)) throw isThere(out)
    renameSync(part, out)
    return imported
  } catch (error) {
    await writer.close().catch(() => {}) // What is wrong is told already.
    throw error
  } finally {
    for (const end of ['-wal', '-shm', '']) rmSync(part + end, { force: true })
  }
}

const isThere = (out: string): Trouble => new Trouble(`${out}: is there already; recordings are never overwritten`)

async function fill(
  writer: RecordingWriter,
  log: string,
  station: StationFile,
  onProgress: ((bytes: number) => void) | undefined,
  halt: AbortSignal | undefined,
): Promise<Imported> {
  const engine = createEngine(station, { listening: true, unendedCounts: true })
  const trace = new TraceMinutes(station)
  const refusals: Partial<Record<RefusalReason, number>> = {}
  let lines = 0
  let blocks = 0
  let inputs = 0
  let stored = Promise.resolve()
  for (const event of logEvents(station, log, logArrivals(station, log, engine), onProgress)) {
    writer.append(event)
    if (event.kind === 'line') lines++
    const [, outputs] = step(engine, event)
    for (const output of outputs) {
      if (output.kind === 'refused') refusals[output.reason] = (refusals[output.reason] ?? 0) + 1
      if (output.kind === 'block' && !output.revises) blocks++
    }
    writer.derive(derivedRows(outputs, trace, event.atMs))
    if (++inputs % inputsATurn === 0) await nextTurn()
    if (halt?.aborted) throw new Trouble('stopped: nothing was imported', exitStatus.interrupted)
    if (inputs % inputsAhead > 0) continue
    await stored
    stored = writer.flush()
    stored.catch(() => {}) // A failure is met where it is waited for: here the next time round, or by the close.
  }
  writer.derive(trace.rest())
  const isUntimed = engine.context.run.startMs === 0
  const counts = Object.values(refusals)
  const refused = counts.reduce((sum, count) => sum + count, 0)
  return { lines, blocks, refusals, isUntimed, ofTimes: saidOfTimes(engine), refused }
}
