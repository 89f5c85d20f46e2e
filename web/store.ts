import {
  type IncrementMessage,
  type LiveMessage,
  type LogbookEntry,
  liveProtocolVersion,
  type SnapshotMessage,
} from '../protocols/live/messages.ts'
import type { AverageRow } from '../protocols/words/blocks.ts'
import { type ClockAnchor, followClock } from './page-clock.ts'
import { orderedSpans, placeSpan } from './phase-spans.ts'

/** The line between this page and the station. */
export interface PageLink {
  readonly state: 'connecting' | 'open' | 'lost'
  /** Page time since when. */
  readonly sinceMs: number
  readonly attempt: number
  /** Page time of the next try; null while one is under way. */
  readonly retryMs: number | null
}
export type Station = Omit<SnapshotMessage, 'type' | 'sequence' | 'protocol'>

/** All that the screens show. Values are as last told; how old they are is worked out when they are drawn. */
export interface ViewState {
  readonly link: PageLink
  readonly station: Station | null
  readonly clock: ClockAnchor | null
  readonly sequence: number
  /** Page time of the last message. */
  readonly heardMs: number | null
  /** Numbers were skipped: what stands here may lack something until a snapshot comes. */
  readonly hole: boolean
  /** A message could not be read: the page is older than the server. */
  readonly unreadable: string | null
  /** The server was replaced by another version while the page was open. */
  readonly newVersion: string | null
  /** Counts up where the trends can no longer be sure to have all readings. */
  readonly trendBreaks: number
}
export type ViewInput =
  | { readonly kind: 'message'; readonly message: LiveMessage; readonly pageMs: number }
  | { readonly kind: 'unreadable'; readonly detail: string; readonly pageMs: number }
  | { readonly kind: 'link'; readonly link: PageLink }

export const firstView = (pageMs: number): ViewState => ({
  link: { state: 'connecting', sinceMs: pageMs, attempt: 0, retryMs: null },
  station: null,
  clock: null,
  sequence: -1,
  heardMs: null,
  hole: false,
  unreadable: null,
  newVersion: null,
  trendBreaks: 0,
})

/** Kept in the page of each length of average; older rows are asked of the server. */
export const keptRows = 400
export const keptEntries = 400

/** (view state, what came) → view state. Pure. */
export function stepView(state: ViewState, input: ViewInput): ViewState {
  switch (input.kind) {
    case 'link':
      return { ...state, link: input.link }
    case 'unreadable':
      return { ...state, unreadable: input.detail, heardMs: input.pageMs }
    case 'message':
      return input.message.type === 'snapshot'
        ? fromSnapshot(state, input.message, input.pageMs)
        : fromIncrement(state, input.message, input.pageMs)
  }
}

function fromSnapshot(
  state: ViewState,
  { type: _type, sequence, protocol, ...station }: SnapshotMessage,
  pageMs: number,
): ViewState {
  const before = state.station?.version ?? station.version
  return {
    ...state,
    station: { ...station, phaseSpans: orderedSpans(station.phaseSpans) },
    sequence,
    heardMs: pageMs,
    hole: false,
    clock: toldClock(station, pageMs),
    unreadable: protocol > liveProtocolVersion ? `protocol ${protocol}` : null,
    newVersion: before === station.version ? state.newVersion : station.version,
    trendBreaks: state.trendBreaks + 1,
  }
}

function fromIncrement(state: ViewState, message: IncrementMessage, pageMs: number): ViewState {
  if (!state.station || message.sequence <= state.sequence) return { ...state, heardMs: pageMs }
  const hole = state.hole || message.sequence !== state.sequence + 1
  const next = {
    ...state,
    sequence: message.sequence,
    heardMs: pageMs,
    hole,
    station: withIncrement(state.station, message),
  }
  if (message.type === 'merged') return { ...next, trendBreaks: state.trendBreaks + 1 }
  if (message.type === 'playback') return { ...next, clock: toldClock(next.station, pageMs) }
  if (message.type === 'running' && next.station.mode === 'live')
    return { ...next, clock: followClock(state.clock, toldClock(next.station, pageMs)) }
  return next
}

/** In playback the time is that of the recording, and stands still while it is paused. */
function toldClock({ clock, playback }: Station, pageMs: number): ClockAnchor {
  if (playback) return { stationMs: playback.atMs, pageMs, speed: playback.playing ? playback.speed : 0 }
  return { stationMs: clock.stationMs, pageMs, speed: clock.speed }
}

/** The oldest of one length goes when there are too many of it: minutes do not push half-hours out. */
function boundedRows(rows: AverageRow[], average: string): AverageRow[] {
  const count = rows.reduce((sum, row) => sum + Number(row.average === average), 0)
  return count > keptRows
    ? rows.toSpliced(
        rows.findIndex((row) => row.average === average),
        1,
      )
    : rows
}

/** Many of the oldest go at once: what lies before the others is asked of the station, and not anew with each that comes. */
const boundedEntries = (entries: LogbookEntry[]): LogbookEntry[] =>
  entries.length > 1.5 * keptEntries
    ? entries.toSorted((one, other) => one.atMs - other.atMs).slice(-keptEntries)
    : entries
/** From this instant on the page was told the whole logbook. */
export const logbookFromMs = ({ logbook }: Station): number =>
  Math.floor(logbook[0]?.atMs ?? Number.NEGATIVE_INFINITY) + 1

/** The same as an equal key of the words, without building one for each of hundreds of rows. */
const isSameAverage = (one: AverageRow, other: AverageRow): boolean =>
  one.startMs === other.startMs && isSameKind(one, other)
const isSameKind = (one: AverageRow, other: AverageRow): boolean =>
  one.channel === other.channel &&
  one.quantity === other.quantity &&
  one.average === other.average &&
  one.unit === other.unit

/** The list with one item put in the place of its like, or added at the end. */
function replaced<T>(list: readonly T[], item: T, isSame: (other: T) => boolean): T[] {
  const at = list.findLastIndex(isSame)
  return at < 0 ? [...list, item] : list.with(at, item)
}

function withIncrement(station: Station, message: IncrementMessage): Station {
  switch (message.type) {
    case 'reading': {
      const { reading, lines } = message
      const lastLineMs = reading.arrivedMs ?? reading.atMs
      return {
        ...station,
        readings: replaced(station.readings, reading, (other) => other.stream === reading.stream),
        streams: station.streams.map((stream) =>
          stream.id === reading.stream
            ? { ...stream, lines, lastLineMs: Math.max(lastLineMs, stream.lastLineMs ?? lastLineMs) }
            : stream,
        ),
      }
    }
    case 'stream':
      return {
        ...station,
        streams: replaced(station.streams, message.stream, (other) => other.id === message.stream.id),
      }
    case 'plant':
      return { ...station, plant: message.plant }
    case 'phase-span':
      return { ...station, phaseSpans: placeSpan(station.phaseSpans, message.span).slice(-keptEntries) }
    case 'block':
      return {
        ...station,
        recentBlocks: boundedRows(
          replaced(station.recentBlocks, message.row, (other) => isSameAverage(other, message.row)),
          message.row.average,
        ),
      }
    case 'rolling':
      return { ...station, rolling: replaced(station.rolling, message.row, (other) => isSameKind(other, message.row)) }
    case 'running': {
      const { openBlocks, outlooks, run, recording, clock } = message
      return { ...station, openBlocks, outlooks, run, recording, clock }
    }
    case 'alarm':
      return { ...station, alarms: message.standing }
    case 'logbook':
      return {
        ...station,
        logbook: boundedEntries(replaced(station.logbook, message.entry, (other) => other.id === message.entry.id)),
      }
    case 'playback':
      return { ...station, playback: message.playback }
    case 'merged':
      return station
  }
}
