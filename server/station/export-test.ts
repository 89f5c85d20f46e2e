import { join } from 'node:path'
import { writeWhole } from '../reports/atomic-file.ts'
import { csvText } from '../reports/csv.ts'
import { jsonText } from '../reports/json.ts'
import { testTable } from '../reports/test-table.ts'
import { stationClock, zoneText } from '../reports/time-text.ts'
import { xlsxFile } from '../reports/xlsx.ts'
import type { ExportFormat, ExportTarget } from './export-recording.ts'
import { testOfRecordings } from './test-recordings.ts'

/** Writes test.csv, test.json or test.xlsx beside an export. Returns the names, and what must be known to read them. */
export async function exportTestTo(
  paths: readonly string[],
  { folder, formats, decimal }: ExportTarget,
): Promise<{ readonly files: string[]; readonly notes: readonly string[] }> {
  const { runs, results, notes } = testOfRecordings(paths.map((path) => ({ name: path, path })))
  const names = runs.map(({ runName }) => runName)
  const table = testTable(names, results)
  const time = runs[0]?.station.station ?? { timeZone: 'UTC', standardTime: false }
  const clock = stationClock(time)
  const contentOf = (format: ExportFormat) => {
    if (format === 'xlsx') return xlsxFile([table], zoneText(time), clock)
    return format === 'csv' ? csvText(table, decimal, clock.text) : jsonText(table, names.join('|'), clock.text)
  }
  const files: string[] = []
  for (const format of new Set(formats)) {
    const file = `test.${format}`
    await writeWhole(join(folder, file), await contentOf(format))
    files.push(file)
  }
  return { files, notes }
}
