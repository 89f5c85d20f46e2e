import { join } from 'node:path'
import { writeWhole } from '../reports/atomic-file.ts'
import { csvText } from '../reports/csv.ts'
import { jsonText } from '../reports/json.ts'
import { testTable } from '../reports/test-table.ts'
import { stationClock } from '../reports/time-text.ts'
import type { ExportTarget } from './export-recording.ts'
import { testOfRecordings } from './test-recordings.ts'

/** Writes test.csv or test.json beside an export; a workbook of a test is not written. Returns the names, and what must be known to read them. */
export async function exportTestTo(
  paths: readonly string[],
  { folder, formats, decimal }: ExportTarget,
): Promise<{ readonly files: string[]; readonly notes: readonly string[] }> {
  const { runs, results, notes } = testOfRecordings(paths.map((path) => ({ name: path, path })))
  const names = runs.map(({ runName }) => runName)
  const table = testTable(names, results)
  const text = runs[0] ? stationClock(runs[0].station.station).text : String
  const files: string[] = []
  for (const format of new Set(formats)) {
    if (format === 'xlsx') continue
    const file = `test.${format}`
    await writeWhole(
      join(folder, file),
      format === 'csv' ? csvText(table, decimal, text) : jsonText(table, names.join('|'), text),
    )
    files.push(file)
  }
  return { files, notes }
}
