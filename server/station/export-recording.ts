import type { LogbookEntry } from '../../protocols/live/messages.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import { type Amendments, noAmendments } from '../engine/amendments.ts'
import type { RecordedEvent } from '../engine/events.ts'
import type { EngineOutput, PhaseSpanOutput, ReadingOutput, ZeroOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import { GatheredAverages } from '../recording/gathered-averages.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { type ExportFormat, writeExport } from '../reports/write-export.ts'
import { drive, readingsOf } from './drive-engine.ts'
import { eventEntry, outputEntry } from './logbook.ts'
import { stationFromSettings } from './recorded-settings.ts'

export type { ExportFormat } from '../reports/write-export.ts'

export interface ExportTarget {
  readonly folder: string
  readonly formats: readonly ExportFormat[]
  readonly decimal: '.' | ','
}

/** Does work that can be stopped while it is done. */
export type Haltable = <T>(work: (halt?: AbortSignal) => Promise<T>) => Promise<T>
const unhalted: Haltable = (work) => work()

/** What a replay gives for an export, gathered as it comes; but its readings, which are gone through anew. Closed by whoever made it. */
export interface ExportContent {
  readonly averages: GatheredAverages
  readonly alarms: AlarmTransition[]
  readonly phaseSpans: Omit<PhaseSpanOutput, 'kind'>[]
  readonly logbook: LogbookEntry[]
  readonly readings: Iterable<ReadingOutput>
  readonly exclusions: Amendments['exclusions']
  readonly zeros: Omit<ZeroOutput, 'kind'>[]
  readonly checks: Amendments['checks']
  write(target: ExportTarget, haltable?: Haltable): Promise<string[]>
}

/** `readings`: gone through once for each format that tells them. `head`: the newest seal of what they come from; null: it has none. */
export function newExportContent(
  station: StationFile,
  run: string,
  readings: Iterable<ReadingOutput>,
  { exclusions, checks }: Amendments = noAmendments,
  head: string | null = null,
): ExportContent {
  const content: ExportContent = {
    averages: new GatheredAverages(),
    alarms: [],
    phaseSpans: [],
    logbook: [],
    readings,
    exclusions,
    zeros: [],
    checks,
    write({ folder, formats, decimal }, haltable = unhalted) {
      const { averages, ...rest } = content
      const { blocks, rolling } = averages
      const request = { dir: folder, formats, decimal, run, station, head, blocks, rolling, ...rest }
      return haltable((halt) => writeExport({ ...request, halt }))
    },
  }
  return content
}

/** Takes what outputs hold for an export; averages that start in [fromMs, toMs). A span's later telling replaces the earlier. */
export function exportContent(
  content: ExportContent,
  outputs: readonly EngineOutput[],
  fromMs = Number.NEGATIVE_INFINITY,
  toMs = Number.POSITIVE_INFINITY,
): void {
  const within = (ms: number): boolean => ms >= fromMs && ms < toMs
  for (const output of outputs) {
    if (output.kind === 'block' || output.kind === 'rolling') {
      if (within(output.row.startMs)) content.averages.put(output.kind, output.row)
    } else if (output.kind === 'alarm') content.alarms.push(output.transition)
    else if (output.kind === 'phase-span') {
      const { kind: _, ...span } = output
      content.phaseSpans.push(span)
    } else if (output.kind === 'zero') {
      const { kind: _, ...zero } = output
      content.zeros.push(zero)
    }
    const entry = outputEntry(output)
    if (entry) content.logbook.push(entry)
  }
}

/** The events as they come; what they say in the logbook goes into `content`, before what the engine makes of them. */
export function* noted(content: ExportContent, events: Iterable<RecordedEvent>): Generator<RecordedEvent> {
  for (const event of events) {
    const entry = eventEntry(event)
    if (entry) content.logbook.push(entry)
    yield event
  }
}

/** Exports a recording: what its lines give by this engine, which is what is stored as long as `verify` passes. Returns the files' names. `haltable`: does the writing, without which it is not stopped. */
export async function exportRecordingTo(path: string, target: ExportTarget, haltable?: Haltable): Promise<string[]> {
  const reader = openRecording(path)
  try {
    const station = stationFromSettings(reader.header.settings)
    const options = { unendedCounts: reader.header.origin === 'imported', amendments: amendmentsOf(reader.changes()) }
    // A run that goes on grows while it is exported: averages and readings shall be of the same inputs.
    const { lastSequence, head } = reader.extent()
    const inputs = () => reader.inputs({ upToSequence: lastSequence })
    const readings = readingsOf(station, inputs, options)
    const content = newExportContent(station, reader.header.runName, readings, options.amendments, head)
    try {
      drive(station, noted(content, inputs()), (outputs) => exportContent(content, outputs), options)
      return await content.write(target, haltable)
    } finally {
      content.averages.close()
    }
  } finally {
    reader.close()
  }
}
