import type { StationFile } from '../engine/settings/station-file.ts'
import { loadStationFile } from '../station/load-station-file.ts'
import { Trouble } from '../trouble.ts'
import { say } from './printing.ts'
import { faultLine } from './validate.ts'

/** Of a text log: with which stream's profile its lines are read, where a station has several. */
export function sayWhoseLines(log: string, { streams }: StationFile): void {
  const [first, ...others] = streams
  if (first && others.length > 0)
    say(
      `${log}: its lines are taken for those of ${first.id}, the first stream; ${others.map(({ id }) => id).join(', ')} ${others.length > 1 ? 'have' : 'has'} none`,
    )
}

/** The station of a file, or a trouble that tells all its faults at once. Warnings are said. */
export function stationFromFile(path: string): { readonly station: StationFile; readonly text: string } {
  const loaded = loadStationFile(path)
  if (!loaded.ok) throw new Trouble(loaded.faults.map(faultLine).join('\n'))
  for (const warning of loaded.warnings) say(`note: ${faultLine(warning)}`)
  return loaded
}
