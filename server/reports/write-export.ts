import { join } from 'node:path'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { type Amendments, noAmendments } from '../engine/amendments.ts'
import type { ReadingOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { writeWhole } from './atomic-file.ts'
import { averagesTable } from './averages-table.ts'
import { checksTable, type ZeroRecord } from './checks-table.ts'
import { csvText } from './csv.ts'
import {
  alarmsTable,
  exclusionsTable,
  type LogbookRow,
  logbookTable,
  type PhaseSpan,
  phasesTable,
} from './happenings-tables.ts'
import { jsonText } from './json.ts'
import type { DecimalMark } from './number-text.ts'
import { readingsTable } from './readings-table.ts'
import { settingsTable } from './settings-table.ts'
import type { Table } from './table.ts'
import { type StationClock, stationClock, zoneText } from './time-text.ts'
import { verdictsTable } from './verdicts-table.ts'
import { xlsxFile } from './xlsx.ts'

export const exportFormats = ['csv', 'json', 'xlsx'] as const
export type ExportFormat = (typeof exportFormats)[number]

/** What an export holds. The iterables are gone through anew for each table and format. */
export interface ExportRequest {
  readonly dir: string
  readonly formats: readonly ExportFormat[]
  readonly decimal: DecimalMark
  /** Name of the run: the first column of every table. */
  readonly run: string
  readonly station: StationFile
  /** Each average once, in order of start. */
  readonly blocks: Iterable<AverageRow>
  readonly rolling: Iterable<AverageRow>
  readonly readings: Iterable<ReadingOutput>
  readonly alarms: Iterable<AlarmTransition>
  readonly phaseSpans: Iterable<PhaseSpan>
  readonly logbook: Iterable<LogbookRow>
  /** What an operator took out of the averages; not given: nothing. */
  readonly exclusions?: Amendments['exclusions']
  /** What purges gave, and the checks that were told; not given: nothing. */
  readonly zeros?: Iterable<ZeroRecord>
  readonly checks?: Amendments['checks']
  /** The newest seal of the recording; not given: nothing is sealed, as of a text log. */
  readonly head?: string | null
  /** Stops the writing; the file that was being written is then not there. */
  readonly halt?: AbortSignal | undefined
}

/**
 * Writes the tables in every format asked for, and settings.json; each file is there whole or not at all. Returns the
 * files' names in the order of writing. Readings are left out of the workbook, which would not hold a night of them.
 */
export async function writeExport(request: ExportRequest): Promise<string[]> {
  const { dir, formats, run, station, head = null, halt } = request
  const clock = stationClock(station.station)
  const averages = [
    averagesTable('blocks', run, station, request.blocks),
    averagesTable('rolling', run, station, request.rolling),
    verdictsTable(run, station, oneAfterTheOther(request.blocks, request.rolling)),
  ]
  const happenings = [
    alarmsTable(run, request.alarms),
    phasesTable(run, request.phaseSpans),
    logbookTable(run, request.logbook),
    exclusionsTable(run, request.exclusions ?? noAmendments.exclusions),
    checksTable(run, station, request.zeros ?? [], request.checks ?? noAmendments.checks),
  ]
  const tables = [
    ...averages,
    readingsTable(run, station, request.readings),
    ...happenings,
    settingsTable('settings-in-force', station, head),
  ]
  const names: string[] = []
  const write = async (name: string, content: Parameters<typeof writeWhole>[1]): Promise<void> => {
    await writeWhole(join(dir, name), content, halt)
    names.push(name)
  }
  for (const format of new Set(formats)) {
    if (format === 'xlsx')
      await write(
        'blocks.xlsx',
        await xlsxFile(
          [...averages, ...happenings, settingsTable('settings', station, head)],
          zoneText(station.station),
          clock,
        ),
      )
    else for (const table of tables) await write(`${table.name}.${format}`, textOf(table, format, request, clock))
  }
  await write('settings.json', `${JSON.stringify(station, null, 2)}\n`)
  return names
}

const oneAfterTheOther = <T>(...lists: readonly Iterable<T>[]): Iterable<T> => ({
  *[Symbol.iterator]() {
    for (const list of lists) yield* list
  },
})

const textOf = (table: Table, format: 'csv' | 'json', { run, decimal }: ExportRequest, clock: StationClock) =>
  format === 'csv' ? csvText(table, decimal, clock.text) : jsonText(table, run, clock.text)
