import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import type { LineProfile } from '../../protocols/instrument/profile.ts'
import { harmlessRefusals, type LineOutcome, type LineReader, type Piece } from '../../protocols/instrument/reader.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { EngineState } from '../engine/state.ts'
import { TimeDoubt } from '../engine/time-doubt.ts'
import { readLogSync } from '../sources/read-log.ts'

/** When a line arrived, ms since 1970; `previousMs`: when the one before did, NaN for none. Asked once for each line, in order. */
export type LogArrivals = (bytes: Uint8Array, previousMs: number, piece?: Piece) => number

/** What is to be said of the times of a log that an engine went through; null where its lines tell their date and time. */
export function saidOfTimes({ context, streams: [stream] }: EngineState): string | null {
  if (stream && !stream.followsArrival && stream.reader.datesByArrival)
    return 'the lines tell a time of day without a date: days count from 1970-01-01 on'
  return context.run.startMs === 0
    ? 'the log does not tell when its lines came: they count from 1970-01-01T00:00:00Z on, one expected step apart'
    : null
}

/**
 * When a line of a text log is taken to have arrived: at its own time, never before the line before it. A line without a
 * readable time arrives with the one before; those before the first that tells a time arrive one step apart up to it. Where
 * readings are keyed by arrival, lines arrive one step apart from 1970 on. A line whose time is far ahead of the one before
 * arrives with that one, unless the next goes on from it. Headers, comments and blank lines take no step,
 * since nothing was measured in it.
 *
 * `path`: the log. `engine`: the one that will take the lines; each is then read but once.
 */
export function logArrivals(station: StationFile, path?: string, engine?: EngineState): LogArrivals {
  const stream = station.streams[0] as StationFile['streams'][number]
  const step = stream.expectEverySeconds * 1000
  const isKeyedByArrival = stream.timeFrom === 'arrival'
  const shared = engine?.streams[0]
  // A time without a date depends on the arrival that is asked for: such lines are read once more when it is known.
  const isRead = shared !== undefined && (isKeyedByArrival || !shared.reader.datesByArrival)
  const reader = isRead ? shared.reader : logReader(station)
  const read = (bytes: Uint8Array, atMs: number, piece: Piece): LineOutcome =>
    isRead ? shared.readAhead(bytes, atMs, piece) : reader.read(bytes, atMs, piece)
  if (isKeyedByArrival) {
    let next = 0
    return (bytes, _, piece = 'whole') => {
      const at = next
      if (takesStep(read(bytes, at, piece))) next += step
      return at
    }
  }
  const doubt = new TimeDoubt(step)
  let hasTold = false
  let stepsOn = false
  return (bytes, previous, piece = 'whole') => {
    const outcome = read(bytes, Number.isNaN(previous) ? 0 : previous, piece)
    const own = outcome.ok ? reader.content.lineTimeMs : Number.NaN
    const least = Number.isNaN(previous) || !stepsOn ? previous : previous + step
    stepsOn = !hasTold && Number.isNaN(own) && takesStep(outcome)
    if (!Number.isNaN(own)) {
      hasTold = true
      // No part is taken by such a line: time does not pass to it.
      if (doubt.of(own, previous) !== 'none') return previous
      return Number.isNaN(previous) || own > previous ? own : previous
    }
    return Number.isNaN(least) ? firstArrival(station, step, path) : least
  }
}

const takesStep = (outcome: LineOutcome): boolean => outcome.ok || !harmlessRefusals.has(outcome.reason)

const logReader = (station: StationFile): LineReader =>
  compileProfile(station.streams[0]?.profile as LineProfile, {
    stationZone: station.station.timeZone,
    unendedCounts: true,
  })

/** When the first line of a log arrived that tells no time: so many steps before the first that does. 0 where none does. */
function firstArrival(station: StationFile, step: number, path: string | undefined): number {
  if (path === undefined) return 0
  const { lineEnd } = { lineEnd: 'auto' as const, ...station.streams[0]?.source }
  const reader = logReader(station)
  let steps = 0
  for (const { bytes, piece } of readLogSync(path, { lineEnd })) {
    const outcome = reader.read(bytes, 0, piece)
    if (outcome.ok && !Number.isNaN(reader.content.lineTimeMs)) return reader.content.lineTimeMs - steps * step
    if (takesStep(outcome)) steps++
  }
  return 0
}
