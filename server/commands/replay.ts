import { statSync } from 'node:fs'
import { basename } from 'node:path'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { RecordedEvent } from '../engine/events.ts'
import type { ReadingOutput } from '../engine/outputs.ts'
import type { EngineState } from '../engine/state.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { settingChanges, withChanges } from '../station/changed-settings.ts'
import { drive, logEvents, readingsOf } from '../station/drive-engine.ts'
import { type ExportFormat, exportContent, newExportContent, noted } from '../station/export-recording.ts'
import { isRecording } from '../station/is-recording.ts'
import { logArrivals, saidOfTimes } from '../station/log-arrivals.ts'
import { stationFromSettings } from '../station/recorded-settings.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { formatsOf } from './export.ts'
import { haltable } from './halt-signal.ts'
import { instantOf } from './instant.ts'
import { noPartText, print, printJsonLists, progress, say } from './printing.ts'
import { sayWhoseLines, stationFromFile } from './station-from-file.ts'

export interface ReplayOptions {
  readonly station?: string
  readonly from?: string
  readonly to?: string
  readonly set?: readonly string[]
  readonly out?: string
  readonly format?: string
  readonly decimal: '.' | ','
  readonly json?: boolean
}

/** `flueledger replay`: a recording or a text log through the engine anew. The whole input is worked through; --from and --to choose which averages are told. */
export async function replay(input: string, options: ReplayOptions): Promise<number> {
  if (options.format !== undefined && options.out === undefined)
    throw new Trouble(`--format ${options.format}: is the form of files; --out DIR says where they go`)
  const recorded = isRecording(input)
  if (!recorded && !options.station) throw new Trouble(`${input}: is a text log; --station says how to read it`)
  const formats: ExportFormat[] = formatsOf(options.format ?? 'csv')
  const reader = recorded ? openRecording(input) : null
  const base = options.station
    ? stationFromFile(options.station).station
    : stationFromSettings(reader?.header.settings ?? '')
  const { station, notes } = withChanges(base, settingChanges(options.set ?? []))
  for (const note of notes) say(note)
  if (!recorded) sayWhoseLines(input, station)
  const fromMs = options.from === undefined ? Number.NEGATIVE_INFINITY : instantOf('--from', options.from)
  const toMs = options.to === undefined ? Number.POSITIVE_INFINITY : instantOf('--to', options.to)
  if (!(fromMs < toMs)) throw new Trouble(`--to ${options.to}: does not lie after --from ${options.from}`)
  const size = statSync(input).size
  // Gone through twice, averages first: of a recording that grows both hold the same inputs.
  const { lastSequence: upToSequence, head } = reader?.extent() ?? { lastSequence: 0, head: null }
  const shown = progress('replaying')
  const events = (engine: EngineState): Iterable<RecordedEvent> =>
    reader
      ? reader.inputs({ upToSequence })
      : logEvents(station, input, logArrivals(station, input, engine), (bytes) => shown.at(bytes / size))
  const unendedCounts = reader?.header.origin !== 'live'
  const amendments = amendmentsOf(reader?.changes() ?? [])
  const readings = within(readingsOf(station, events, { unendedCounts, amendments }), fromMs, toMs)
  // Scripts join what replays and exports of one recording say by the name of its run.
  const run = reader?.header.runName ?? basename(input)
  const content = newExportContent(station, run, readings, amendments, head)
  const engine = drive(
    station,
    (engine) => noted(content, events(engine)),
    (outputs) => exportContent(content, outputs, fromMs, toMs),
    { unendedCounts, amendments },
  )
  shown.end()
  const ofTimes = reader ? null : saidOfTimes(engine)
  if (ofTimes !== null) say(ofTimes)
  for (const stream of engine.streams)
    for (const [reason, count] of stream.refused.byReason) say(noPartText(count, reason))
  if (options.out) {
    const files = await content.write({ folder: options.out, formats, decimal: options.decimal }, haltable)
    say(`${options.out}: ${files.join(', ')}`)
  }
  reader?.close()
  const { averages, alarms } = content
  if (options.json) printJsonLists({ blocks: averages.blocks, rolling: averages.rolling, alarms })
  else if (!options.out) for (const row of averages.blocks) print(rowLine(row))
  averages.close()
  const nothing = reader ? null : nothingRead(engine)
  if (nothing === null) return exitStatus.done
  say(`${input}: ${nothing}`)
  return exitStatus.checkFailed
}

/** Why a log gave nothing; null: it gave readings. */
function nothingRead({ streams }: EngineState): string | null {
  const counts = streams.flatMap(({ refused }) => [...refused.byReason.values()])
  const lines = streams.reduce((sum, stream) => sum + stream.lines, 0)
  if (counts.reduce((sum, count) => sum + count, 0) < lines) return null
  return lines === 0
    ? 'is empty; there is nothing to replay'
    : 'none of its lines could be read with the profile of the station file. `propose` says what their form is'
}

function rowLine(row: AverageRow): string {
  const value = row.mean === null ? 'no value' : `${row.mean} ${row.unit}`
  return `${new Date(row.startMs).toISOString()}  ${row.average}  ${row.channel} ${row.quantity}  ${value}  ${row.count} readings  ${row.valid ? 'valid' : 'invalid'}${row.reasons.length > 0 ? ` (${row.reasons.join(', ')})` : ''}`
}

/** The readings of [fromMs, toMs). */
const within = (readings: Iterable<ReadingOutput>, fromMs: number, toMs: number): Iterable<ReadingOutput> => ({
  *[Symbol.iterator]() {
    for (const reading of readings) if (reading.atMs >= fromMs && reading.atMs < toMs) yield reading
  },
})
