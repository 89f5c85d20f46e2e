import type { Piece } from '../../protocols/instrument/reader.ts'
import type { After } from '../clock.ts'

/**
 * A piece of a stream as it came. `atMs` and `monotonicMs` are those of the last byte's arrival; an `unended` piece, which
 * becomes one only when its stream breaks off, has the time of that moment, so that events stay in the order of their times.
 */
export interface SourceLine {
  readonly kind: 'line'
  readonly atMs: number
  readonly monotonicMs: number
  readonly bytes: Uint8Array
  readonly piece: Piece
}
/** A change of the link; see `LinkState` of the engine for the words. */
export interface SourceLink {
  readonly kind: 'link'
  readonly atMs: number
  readonly monotonicMs: number
  readonly state: 'open' | 'lost' | 'silent' | 'refused' | 'ended'
  readonly attempt: number
  readonly detail: string
}
export type SourceEvent = SourceLine | SourceLink

/** The clock as a source needs it; `server/clock.ts` has the real one. */
export interface SourceClock {
  /** Station time, ms since 1970 UTC; may be scaled. */
  stationMs(): number
  monotonicMs(): number
  /** Station seconds per real second: silence is measured in real time, its limit is never less than two real seconds. */
  speed(): number
}

/** What every source needs to run. */
export interface SourceNeeds {
  /** The stream's id. */
  readonly name: string
  readonly clock: SourceClock
  /** Timers; the real ones unless told otherwise. */
  readonly after?: After
}

/** A running source. It reopens for ever until closed; it never throws after `open`. */
export interface Source {
  readonly name: string
  /** Starts; events come through `listener` in order, one at a time, never synchronously inside `open`. */
  open(listener: (event: SourceEvent) => void): void
  /** Sends text to the instrument (polling); ignored where the source cannot. */
  send(text: string): void
  close(): Promise<void>
}
