import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import type { LineProfile } from '../../protocols/instrument/profile.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

/**
 * When a line of a text log is taken to have arrived: at its own time, never before the line before it. A line without a
 * readable time arrives with the one before. Where readings are keyed by arrival, lines arrive one step apart.
 */
export function logArrivals(station: StationFile): (bytes: Uint8Array, previousMs: number) => number {
  const stream = station.streams[0] as StationFile['streams'][number]
  const step = stream.expectEverySeconds * 1000
  if (stream.timeFrom === 'arrival') return (_, previous) => (Number.isNaN(previous) ? 0 : previous + step)
  const reader = compileProfile(stream.profile as LineProfile, { stationZone: station.station.timeZone, unendedCounts: true })
  return (bytes, previous) => {
    const outcome = reader.read(bytes, Number.isNaN(previous) ? 0 : previous, 'whole')
    const own = outcome.ok ? reader.content.lineTimeMs : Number.NaN
    if (Number.isNaN(own)) return Number.isNaN(previous) ? 0 : previous
    return Number.isNaN(previous) || own > previous ? own : previous
  }
}
