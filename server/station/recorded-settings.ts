import { type StationFile, stationFile } from '../engine/settings/station-file.ts'
import { Trouble } from '../trouble.ts'

/** The station that a recording was made with, from the settings stored in it. */
export function stationFromSettings(settings: string): StationFile {
  const parsed = stationFile.safeParse(JSON.parse(settings))
  if (parsed.success) return parsed.data
  throw new Trouble(
    `the recording’s settings are not those of this version: ${parsed.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`).join('; ')}`,
  )
}
