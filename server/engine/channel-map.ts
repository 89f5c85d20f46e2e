import type { LineReader } from '../../protocols/instrument/reader.ts'
import { ppmPerUnit } from '../../protocols/words/units.ts'
import { isDiluted } from './corrections/diluted.ts'
import type { ChannelSettings, StationFile } from './settings/station-file.ts'

/** A channel as the readings of its stream need it. Indexes count the station file's channels. */
export interface MappedChannel {
  readonly index: number
  readonly settings: ChannelSettings
  /** Place of the profile's field in the line's content; -1 for a sum. */
  readonly field: number
  /** Members of a sum and what turns each into the sum's unit. */
  readonly members: readonly { readonly index: number; readonly factor: number }[]
  /** Accepted readings: low − 5 % of the span … high. */
  readonly lowest: number
  readonly highest: number
  readonly needs: readonly { readonly index: number; readonly low: number; readonly high: number }[]
  /** True value / reading; renewed each minute where checks tell it. */
  spanFactor: number
  /** Whether a dilution of the sample is taken out of it: gases whose cell sees it. */
  readonly isDiluted: boolean
  /** How long after a purge this channel waits before it counts, ms. */
  readonly waitMs: number
}

/** Noise under zero is no fault: a reading is out of range only below low − 5 % of the span (station file, `range`). */
const underRangeShare = 0.05

const ownWaitMs = (station: StationFile, channel: ChannelSettings): number => {
  const { settle } = station.phases
  const t95 = channel.sumOf
    ? Math.max(...channel.sumOf.map((id) => station.channels.find((other) => other.id === id)?.t95Seconds ?? 0))
    : channel.t95Seconds
  return 1000 * ('seconds' in settle ? settle.seconds : settle.timesT95 * t95)
}

/** The slowest response of a stream's channels, ms. */
export const slowestT95Ms = (station: StationFile, stream: string): number =>
  1000 *
  Math.max(0, ...station.channels.filter((channel) => channel.stream === stream).map(({ t95Seconds }) => t95Seconds))

/** The channels of one stream, sums last, so that their members are known when they are formed. */
export function mapChannels(station: StationFile, stream: string, reader: LineReader): MappedChannel[] {
  const indexOf = (id: string): number => station.channels.findIndex((channel) => channel.id === id)
  const isOf = (channel: ChannelSettings): boolean =>
    (channel.sumOf ? station.channels[indexOf(channel.sumOf[0] ?? '')]?.stream : channel.stream) === stream
  const own = station.channels.map((settings, index) => ({ settings, index })).filter(({ settings }) => isOf(settings))
  const slowest = Math.max(0, ...own.map(({ settings }) => ownWaitMs(station, settings)))
  const mapped = own.map(({ settings, index }): MappedChannel => {
    const [low, high] = settings.range ?? [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY]
    return {
      index,
      settings,
      field: settings.sumOf ? -1 : reader.fields.findIndex(({ name }) => name === settings.field),
      members: (settings.sumOf ?? []).map((id) => {
        const member = indexOf(id)
        return {
          index: member,
          factor: (ppmPerUnit[station.channels[member]?.unit ?? 'ppm'] ?? 1) / (ppmPerUnit[settings.unit] ?? 1),
        }
      }),
      lowest: settings.range ? low - underRangeShare * (high - low) : low,
      highest: high,
      needs: settings.needs.map(({ channel, between }) => ({
        index: indexOf(channel),
        low: between[0],
        high: between[1],
      })),
      isDiluted: isDiluted(station, settings),
      spanFactor: station.corrections.span[settings.id] ?? 1,
      waitMs: station.phases.per === 'stream' ? slowest : ownWaitMs(station, settings),
    }
  })
  return mapped.sort((a, b) => Number(a.field < 0) - Number(b.field < 0))
}
