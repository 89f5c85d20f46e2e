import type { StreamState } from '../protocols/live/messages.ts'
import { stationTime } from './page-clock.ts'
import type { ViewState } from './store.ts'

/** Intervals without a line after which figures no longer pass for the present. */
const missedIntervals = 3
/** What the way from the station to the page may take, in the page's own time; more where a clock at speed makes the station bundle its messages. */
const transitMs = { plain: 400, atSpeed: 1500 }
/** The page asks for a word after this silence, and takes the line for dead after the second. */
export const askAfterMs = 6000
export const deadAfterMs = 14_000

export interface Freshness {
  readonly stale: boolean
  /** Station time that has passed since the last line; null where none ever came. */
  readonly ageMs: number | null
}

/** How old a stream's figures may be before they are stale, in station time. */
function patienceMs({ clock, station }: ViewState, { expectEverySeconds }: StreamState): number {
  // Where the clock was scaled as this was recorded, lines came in bunches: their stamps say so for ever.
  const speed = Math.max(clock?.speed ?? 1, station?.playback?.recordedSpeed ?? 1)
  return missedIntervals * expectEverySeconds * 1000 + (speed > 1 ? transitMs.atSpeed * speed : transitMs.plain)
}

/** How old a stream's figures are at a moment of the page's clock. It needs no timer and no message to come out right. */
export function freshness(state: ViewState, stream: StreamState, pageMs: number): Freshness {
  if (stream.lastLineMs === null || !state.clock) return { stale: true, ageMs: null }
  const ageMs = Math.max(0, stationTime(state.clock, pageMs) - stream.lastLineMs)
  return { stale: ageMs > patienceMs(state, stream), ageMs }
}

/** The page's milliseconds after which the first stream that is fresh now turns stale, if no line comes; infinite where none is fresh. */
export function freshForMs(state: ViewState, pageMs: number): number {
  const left = (state.station?.streams ?? []).map((stream) => {
    const { stale, ageMs } = freshness(state, stream, pageMs)
    return stale ? Number.POSITIVE_INFINITY : patienceMs(state, stream) - (ageMs ?? 0)
  })
  // A millisecond later: timers cut fractions off.
  return (Math.min(...left) + 1) / (state.clock?.speed ?? 1)
}

/** A playback that stands still has nothing to say; its silence means nothing. */
export const isSilenceDue = ({ station }: ViewState): boolean => station?.playback?.playing === false

/** Whether the line to the station is in use: open, and something was heard on it lately. */
export const isInTouch = (state: ViewState, pageMs: number): boolean =>
  state.link.state === 'open' &&
  state.heardMs !== null &&
  (isSilenceDue(state) || pageMs - state.heardMs < askAfterMs + 2000)

/** Station time of the last word of a live station that this page no longer hears; null while it is in touch, and where it never was. */
export function lastHeardMs(state: ViewState, pageMs: number): number | null {
  if (isInTouch(state, pageMs) || state.station?.mode !== 'live' || !state.clock || state.heardMs === null) return null
  return stationTime(state.clock, state.heardMs)
}
