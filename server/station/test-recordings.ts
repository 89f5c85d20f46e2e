import { join, resolve } from 'node:path'
import { type RunResult, type TestResult, testOfRuns } from '../engine/averaging/test-of-runs.ts'
import type { LimitsOfMeans } from '../engine/decision/limits-of-means.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { writeWhole } from '../reports/atomic-file.ts'
import { csvText } from '../reports/csv.ts'
import { jsonText } from '../reports/json.ts'
import { testTable } from '../reports/test-table.ts'
import { stationClock } from '../reports/time-text.ts'
import { Trouble } from '../trouble.ts'
import { drive } from './drive-engine.ts'
import type { ExportTarget } from './export-recording.ts'
import { stationFromSettings } from './recorded-settings.ts'

interface RecordedRun {
  readonly name: string
  readonly station: StationFile
  readonly limits: LimitsOfMeans
  readonly results: readonly RunResult[]
}

/** The averages over one recording's run. A `Trouble` where its station forms none. */
function runOf(path: string): RecordedRun {
  const reader = openRecording(path)
  try {
    const station = stationFromSettings(reader.header.settings)
    if (station.averaging.run === 'none')
      throw new Trouble(`${path}: its station file forms no average over the run; a test needs averaging.run`)
    const { context } = drive(station, reader.inputs(), () => {}, {
      unendedCounts: reader.header.origin === 'imported',
    })
    if (context.runResults.length === 0)
      throw new Trouble(`${path}: its run has not ended, so it has no average over the run yet`)
    return { name: reader.header.runName, station, limits: context.limitsOfMeans, results: [...context.runResults] }
  } finally {
    reader.close()
  }
}

/** A test of several recordings, each one run; judged by the rules and limits of the first. */
export function testOfRecordings(paths: readonly string[]): {
  readonly runs: readonly string[]
  readonly station: StationFile
  readonly results: readonly TestResult[]
} {
  const twice = paths.find((path, place) => paths.some((other, at) => at < place && resolve(other) === resolve(path)))
  if (twice) throw new Trouble(`${twice}: is named twice; each run of a test counts once`)
  const runs = paths.map(runOf)
  const [first] = runs
  if (!first) throw new Trouble('a test needs recordings')
  return {
    runs: runs.map(({ name }) => name),
    station: first.station,
    results: testOfRuns(
      runs.map(({ results }) => results),
      first.station,
      first.limits,
    ),
  }
}

/** Writes test.csv or test.json beside an export; a workbook of a test is not written. Returns the names. */
export async function exportTestTo(
  paths: readonly string[],
  { folder, formats, decimal }: ExportTarget,
): Promise<string[]> {
  const { runs, station, results } = testOfRecordings(paths)
  const table = testTable(runs, results)
  const { text } = stationClock(station.station)
  const names: string[] = []
  for (const format of new Set(formats)) {
    if (format === 'xlsx') continue
    const name = `test.${format}`
    await writeWhole(
      join(folder, name),
      format === 'csv' ? csvText(table, decimal, text) : jsonText(table, runs.join('|'), text),
    )
    names.push(name)
  }
  return names
}
