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

/** What of a station decides its numbers, in words that can be compared; where the lines come from, the run and the clock do not. */
export const settingsBesideSources = (station: StationFile): string =>
  JSON.stringify({
    ...station,
    clock: null,
    run: null,
    streams: station.streams.map((stream) => ({ ...stream, source: null })),
  })
