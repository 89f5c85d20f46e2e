import type { LimitSettings, StationFile } from '../settings/station-file.ts'
import type { LimitAlarm } from './alarm.ts'
import { unbrokenForMs } from './silence.ts'

/**
 * When a value passes a limit and when it has cleared it. High: true above the limit, clear at or below limit −
 * deadband; low: mirrored, by the sign. Source: OPC UA Part 9, B.1.5, as tabulated.
 */
export interface Deadband {
  /** 1 for a high limit, −1 for a low one; values are multiplied by it. */
  readonly sign: 1 | -1
  readonly passAbove: number
  readonly clearFrom: number
}
export function deadbandOf({ kind, value, deadband }: Pick<LimitSettings, 'kind' | 'value' | 'deadband'>): Deadband {
  const sign = kind === 'high' ? 1 : -1
  return { sign, passAbove: sign * value, clearFrom: sign * value - deadband }
}

/** The station's limits in the file's order, each with an id of its own: the file's, else channel-average-place. */
export function limitAlarms(station: StationFile): readonly LimitAlarm[] {
  const taken = new Set<string>()
  return station.limits.map((settings, index) => {
    const proposed = settings.id ?? `${settings.channel}-${settings.average ?? settings.of}-${index}`
    const limitId = taken.has(proposed) ? `${proposed}-${index}` : proposed
    taken.add(limitId)
    return { id: `limit:${limitId}`, limitId, index, stream: streamOfChannel(station, settings.channel), settings }
  })
}

/** How long a limit's newest value holds: a reading until its stream counts as silent, a mean until the next one. */
export function limitGapMs(station: StationFile, limit: LimitAlarm): number {
  const stream = station.streams.find((candidate) => candidate.id === limit.stream)
  return limit.settings.of === 'reading' && stream
    ? unbrokenForMs(stream, station.clock.speed)
    : Number.POSITIVE_INFINITY
}

/** The stream of a channel; of a sum, that of its first part; the only stream where the file need not say. */
function streamOfChannel(station: StationFile, channelId: string): string {
  const channel = station.channels.find(({ id }) => id === channelId)
  const part = station.channels.find(({ id }) => id === channel?.sumOf?.[0])
  return channel?.stream ?? part?.stream ?? station.streams[0]?.id ?? ''
}
