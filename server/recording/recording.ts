import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { LineEvent, RecordedEvent } from '../engine/events.ts'
import type { NoticeOutput, PhaseSpanOutput, PlantSpanOutput, ZeroOutput } from '../engine/outputs.ts'

/** Written into every recording: SQLite's `application_id` (the letters FLUE) and the version of the tables. */
export const applicationId = 0x464c5545
export const schemaVersion = 1

/** What a recording says of itself; stored when it is made. */
export interface RecordingHeader {
  readonly runName: string
  readonly station: string
  /** The full settings in force as JSON text, profiles inlined, defaults filled in; their SHA-256 is stored beside. */
  readonly settings: string
  readonly madeMs: number
  readonly engineVersion: string
  /** Lines outside a run. */
  readonly standby: boolean
  /** Made of invented data (demo, simulator). */
  readonly invented: boolean
  /** `live`, or `imported`: then the times of arrival are those of the lines. */
  readonly origin: 'live' | 'imported'
  readonly numberOfRuns: readonly [number: number, of: number]
}

/** The reading values of one minute of one stream, for charts; derived, rebuilt by a replay, not sealed. */
export interface TraceMinute {
  readonly stream: string
  readonly minuteMs: number
  /** Offsets of the readings from `minuteMs`, ms. */
  readonly offsetsMs: Float64Array
  /** `asRead`, `corrected`, `referred` of each channel: columns of `offsetsMs.length` values; NaN is no value. */
  readonly channels: readonly { readonly channel: string; readonly asRead: Float32Array; readonly corrected: Float32Array; readonly referred: Float32Array }[]
}

/** What the engine derived; stored only behind the lines that it rests on. */
export type Derived =
  | { readonly table: 'block' | 'rolling'; readonly row: AverageRow }
  | { readonly table: 'alarm'; readonly row: AlarmTransition }
  | { readonly table: 'phase-span'; readonly row: Omit<PhaseSpanOutput, 'kind'> }
  | { readonly table: 'plant-span'; readonly row: Omit<PlantSpanOutput, 'kind'> }
  | { readonly table: 'zero'; readonly row: Omit<ZeroOutput, 'kind'> }
  | { readonly table: 'notice'; readonly row: Omit<NoticeOutput, 'kind'> }
  | { readonly table: 'trace'; readonly row: TraceMinute }

export type Unnumbered<E extends RecordedEvent = RecordedEvent> = E extends LineEvent ? Omit<E, 'sequence'> : E

export interface StoredUpTo {
  readonly sequence: number
  /** Station time of the newest stored input; null before the first. */
  readonly atMs: number | null
  readonly waiting: number
  readonly bytes: number
  readonly head: string | null
}

/** Writes one recording from a worker thread. Everything returns at once but `flush` and `close`. */
export interface RecordingWriter {
  readonly path: string
  /** Takes an input of the engine down and gives it its number (1, 2, 3 …, lines and events in one order). */
  append(event: Unnumbered): number
  derive(derived: readonly Derived[]): void
  storedUpTo(): StoredUpTo
  /** Called when something was stored, or could not be: disk full, I/O error. What could not be stored stays queued and is tried again. */
  onChange(listener: (change: { readonly kind: 'stored'; readonly upTo: StoredUpTo } | { readonly kind: 'trouble'; readonly code: 'disk-full' | 'io-error' | 'worker-lost'; readonly detail: string } | { readonly kind: 'recovered' }) => void): void
  flush(): Promise<void>
  /** Seals, checkpoints, closes: the WAL is empty or gone afterwards. */
  close(): Promise<void>
}
