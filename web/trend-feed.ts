import type { ChannelInfo, ReadingState } from '../protocols/live/messages.ts'
import type { Flag, MarksAnswer } from '../protocols/live/requests.ts'
import type { ValueQuantity } from '../protocols/words/quantities.ts'
import { averageLengthMs } from '../protocols/words/time.ts'
import { askMarks, askSeries } from './answers.ts'
import { StreamHistory } from './history.ts'
import type { PhaseStretch } from './phase-spans.ts'
import type { TrendValue } from './picks.ts'
import type { Station } from './store.ts'

export type SeriesValue = 'asRead' | 'corrected' | 'referred'
export const isReferredQuantity = (quantity: ValueQuantity): boolean =>
  quantity === 'at_reference_oxygen' || quantity === 'mass_concentration'

export function seriesValue(
  { limits }: Pick<Station, 'limits'>,
  channel: Pick<ChannelInfo, 'id' | 'referred'>,
  value: TrendValue,
): SeriesValue {
  if (value !== 'limits') return value
  const own = limits.filter((limit) => limit.channel === channel.id)
  const wantsReferred = own.length === 0 || own.some((limit) => isReferredQuantity(limit.quantity))
  return channel.referred !== null && wantsReferred ? 'referred' : 'corrected'
}

/** More the station does not give. */
const mostColumns = 4000
/** Fewer columns than readings, so that a column without one is a gap and no accident of the grid. */
const columnsFor = (spanMs: number, stepMs: number, pixels: number) =>
  Math.max(2, Math.min(pixels, mostColumns, Math.floor(spanMs / (2 * stepMs))))

/** Block means narrower than so many pixels are not drawn; on a phone a row of a chart's table takes that much, too. */
export const leastStepPixels = 3

/** Entries of the logbook within so many pixels come as one: a flag is six times as wide. */
const flagPixels = 8

/** Means of the ended blocks of one channel, in order. */
export interface ChannelSteps {
  readonly quantity: ValueQuantity
  readonly rows: readonly {
    readonly startMs: number
    readonly endMs: number
    readonly mean: number
    readonly valid: boolean
  }[]
}

export interface FeedWish {
  readonly recording: string | null
  readonly fromMs: number
  readonly toMs: number
  readonly value: TrendValue
  readonly average: string
  readonly pixels: number
  /** What the logbook holds from here on the page knows itself. */
  readonly toldFromMs: number
}

/** Fills the charts: the stretch wanted is asked of the station, readings extend it as they come. */
export class TrendFeed {
  readonly histories = new Map<string, StreamHistory>()
  /** By stream, of the stretch last asked for; newer ones are in the view state. */
  phaseSpans: ReadonlyMap<string, readonly PhaseStretch[]> = new Map()
  /** Length of the blocks in `steps`. */
  average = ''
  /** By channel, of the stretch last asked for; none where they would be too narrow to be drawn. */
  steps: ReadonlyMap<string, ChannelSteps> = new Map()
  /** Of what happened before `flagsToMs` in the stretch last asked for, folded; of what came later the page was told. */
  flags: readonly Flag[] = []
  flagsToMs = Number.NEGATIVE_INFINITY
  error: string | null = null
  loading = false
  private asking: AbortController | null = null
  private wish: FeedWish | null = null
  private value: TrendValue = 'limits'
  /** The live recording of which the histories hold rows; null before the first answer, and of a playback. */
  private filled: string | null = null
  private station: Station | null = null

  constructor(private readonly onChange: () => void) {}

  /** One history per stream, made anew where channels or steps changed. */
  private haveHistories(station: Station): void {
    for (const stream of station.streams) {
      const ids = channelsOf(station, stream.id)
      const known = this.histories.get(stream.id)
      if (known && known.channels.join() === ids.join()) continue
      this.histories.set(stream.id, new StreamHistory(ids, stream.expectEverySeconds * 1000))
    }
  }

  /** Asks for a stretch; what is still on its way is given up. */
  async ask(station: Station, wish: FeedWish): Promise<void> {
    this.asking?.abort()
    const asking = new AbortController()
    this.asking = asking
    this.station = station
    this.wish = wish
    this.haveHistories(station)
    this.loading = true
    const { recording, fromMs, toMs, value, average, toldFromMs } = wish
    const range = { from: Math.floor(fromMs), to: Math.ceil(toMs) }
    const named: Partial<Record<SeriesValue, string>> = {}
    const series = station.streams.flatMap((stream) =>
      groupedByValue(station, stream.id, value).map(async ([kind, ids]) => {
        named[kind] = [named[kind], ...ids].filter(Boolean).join()
        const columns = columnsFor(toMs - fromMs, stream.expectEverySeconds * 1000, wish.pixels)
        return {
          stream: stream.id,
          found: await askSeries(recording, { channels: ids.join(','), value: kind, ...range, columns }, asking.signal),
        }
      }),
    )
    const stepPixels = ((averageLengthMs(average) ?? Number.POSITIVE_INFINITY) / (toMs - fromMs)) * wish.pixels
    const flagged = { flagsTo: Math.max(range.from, toldFromMs), columns: Math.ceil(wish.pixels / flagPixels) }
    const [found, marks] = await Promise.all([
      Promise.all(series),
      askMarks(
        recording,
        { ...range, ...flagged, ...(stepPixels < leastStepPixels ? {} : { average, ...named }) },
        asking.signal,
      ),
    ])
    if (asking.signal.aborted) return
    this.loading = false
    // A live station goes on while it answers, and what it heard last is not stored yet: the page has both already.
    const keepsNewer = station.playback === null && this.value === value && this.filled === station.run.recording
    this.filled = station.playback === null ? station.run.recording : null
    this.value = value
    const failed = [...found.map((part) => part.found), marks].find((part) => !part.ok)
    this.error = failed && !failed.ok ? (failed.errors[0] ?? null) : null
    if (marks.ok) {
      this.phaseSpans = spansOf(marks.value)
      this.steps = stepsOf(marks.value)
      this.average = average
      this.flags = marks.value.flags
      this.flagsToMs = toldFromMs
    }
    for (const stream of station.streams) {
      const parts = found.flatMap((part) => (part.stream === stream.id && part.found.ok ? [part.found.value] : []))
      const [first] = parts
      if (first)
        this.histories
          .get(stream.id)
          ?.load({ ...first, channels: Object.assign({}, ...parts.map((part) => part.channels)) }, keepsNewer)
    }
    this.onChange()
  }

  /** One reading more, where the stretch shown reaches to it. */
  add(reading: ReadingState, isFollowing: boolean, keepFromMs: number): void {
    if (!this.wish || !this.station || (!isFollowing && reading.atMs > this.wish.toMs)) return
    const station = this.station
    this.histories.get(reading.stream)?.push(
      reading.atMs,
      (id) => {
        const channel = station.channels.find((found) => found.id === id)
        return channel ? (reading.values[id]?.[seriesValue(station, channel, this.value)] ?? null) : null
      },
      keepFromMs,
    )
  }

  close(): void {
    this.asking?.abort()
  }
}

const spansOf = ({ phases }: MarksAnswer): ReadonlyMap<string, PhaseStretch[]> =>
  new Map(
    Object.entries(phases).map(([stream, { startMs, endMs, phase }]) => [
      stream,
      phase.map((one, place) => ({ phase: one, startMs: startMs[place] ?? 0, endMs: endMs[place] ?? null })),
    ]),
  )
const stepsOf = ({ steps: { startMs, endMs, channels } }: MarksAnswer): ReadonlyMap<string, ChannelSteps> =>
  new Map(
    Object.entries(channels).map(([channel, { quantity, mean, valid }]) => [
      channel,
      {
        quantity,
        rows: mean.flatMap((one, place) =>
          one === null
            ? []
            : [{ startMs: startMs[place] ?? 0, endMs: endMs[place] ?? 0, mean: one, valid: valid[place] === 1 }],
        ),
      },
    ]),
  )
const channelsOf = (station: Station, stream: string) =>
  station.channels.filter((channel) => channel.stream === stream).map((channel) => channel.id)
function groupedByValue(station: Station, stream: string, value: TrendValue): [SeriesValue, string[]][] {
  const groups = new Map<SeriesValue, string[]>()
  for (const channel of station.channels) {
    if (channel.stream !== stream) continue
    const kind = seriesValue(station, channel, value)
    groups.set(kind, [...(groups.get(kind) ?? []), channel.id])
  }
  return [...groups]
}
