import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import type { LineProfile } from '../../protocols/instrument/profile.ts'
import { harmlessRefusals } from '../../protocols/instrument/reader.ts'
import type { StationFile } from '../engine/settings/station-file.ts'

/**
 * When a line of a text log is taken to have arrived: at its own time, never before the line before it. A line without a
 * readable time arrives with the one before. Where readings are keyed by arrival, lines arrive one step apart from 1970 on;
 * headers, comments and blank lines take no step, since nothing was measured in it.
 */
export function logArrivals(station: StationFile): (bytes: Uint8Array, previousMs: number) => number {
  const stream = station.streams[0] as StationFile['streams'][number]
  const step = stream.expectEverySeconds * 1000
  const reader = compileProfile(stream.profile as LineProfile, {
    stationZone: station.station.timeZone,
    unendedCounts: true,
  })
  if (stream.timeFrom === 'arrival') {
    let next = 0
    return (bytes) => {
      const at = next
      const outcome = reader.read(bytes, at, 'whole')
      if (outcome.ok || !harmlessRefusals.has(outcome.reason)) next += step
      return at
    }
  }
  return (bytes, previous) => {
    const outcome = reader.read(bytes, Number.isNaN(previous) ? 0 : previous, 'whole')
    const own = outcome.ok ? reader.content.lineTimeMs : Number.NaN
    if (Number.isNaN(own)) return Number.isNaN(previous) ? 0 : previous
    return Number.isNaN(previous) || own > previous ? own : previous
  }
}
