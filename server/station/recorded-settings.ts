import { type StationFile, stationFile } from '../engine/settings/station-file.ts'
import { exitStatus, Trouble } from '../trouble.ts'

/** The station that a recording was made with, from the settings stored in it. Throws a `Trouble` where they are damaged or another version's. */
export function stationFromSettings(settings: string): StationFile {
  const parsed = stationFile.safeParse(jsonOf(settings))
  if (parsed.success) return parsed.data
  throw new Trouble(
    `the recording’s settings are not those of this version: ${parsed.error.issues.map(({ path, message }) => `${path.join('.')}: ${message}`).join('; ')}`,
  )
}

function jsonOf(settings: string): unknown {
  try {
    return JSON.parse(settings)
  } catch (error) {
    throw new Trouble(
      `the recording is damaged: the settings stored in it are no JSON (${error instanceof Error ? error.message : error}); \`verify\` says what else is`,
      exitStatus.checkFailed,
      error,
    )
  }
}

/** What of a station decides its numbers, in words that can be compared; where the lines come from, the run and the clock do not. */
export const settingsBesideSources = (station: StationFile): string =>
  JSON.stringify({
    ...station,
    clock: null,
    run: null,
    streams: station.streams.map((stream) => ({ ...stream, source: null })),
  })
