import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { LineEvent, RecordedEvent } from '../engine/events.ts'
import type { NoticeOutput, PhaseSpanOutput, PlantSpanOutput, ZeroOutput } from '../engine/outputs.ts'

/** Written into every recording: SQLite's `application_id` (the letters FLUE) and the version of the tables. */
export const applicationId = 0x464c5545
export const schemaVersion = 5

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
  readonly channels: readonly {
    readonly channel: string
    readonly asRead: Float32Array
    readonly corrected: Float32Array
    readonly referred: Float32Array
  }[]
}

/** An hour is kept in so many cells of `cellMs`, for charts that are too wide to be drawn from its readings. */
export const cellsOfHour = 12
export const cellMs = 3_600_000 / cellsOfHour

/**
 * One hour of one channel, made of its minutes: derived, as they are. Of each stage first the lowest value of each cell, then
 * the highest of each, then the last of each; NaN where a cell holds none.
 */
export interface TraceHour {
  readonly stream: string
  readonly channel: string
  readonly hourMs: number
  readonly asRead: Float32Array
  readonly corrected: Float32Array
  readonly referred: Float32Array
}

/** An average that was replaced by another: what it was, what it is, when, by whom and why. */
export interface AverageChange {
  readonly kind: 'block' | 'rolling'
  /** Station time of what changed it, ms. */
  readonly replacedMs: number
  /** null: no person did. */
  readonly by: string | null
  readonly reason: string
  readonly old: AverageRow
  /** null: there is no such average any more. */
  readonly new: AverageRow | null
}

/** What the engine derived; stored only behind the lines that it rests on. */
export type Derived =
  | {
      readonly table: 'block' | 'rolling'
      readonly row: AverageRow
      /** The row was told before, provisional: what it was is kept where its value changed. */
      readonly revision?: { readonly atMs: number; readonly reason: 'next zero' }
    }
  /** An average that is no longer formed. */
  | { readonly table: 'gone'; readonly kind: 'block' | 'rolling'; readonly row: AverageRow }
  | { readonly table: 'alarm'; readonly row: AlarmTransition }
  | { readonly table: 'phase-span'; readonly row: Omit<PhaseSpanOutput, 'kind'> }
  | { readonly table: 'plant-span'; readonly row: Omit<PlantSpanOutput, 'kind'> }
  | { readonly table: 'zero'; readonly row: Omit<ZeroOutput, 'kind'> }
  | { readonly table: 'notice'; readonly row: Omit<NoticeOutput, 'kind'> }
  | { readonly table: 'trace'; readonly row: TraceMinute }
  | { readonly table: 'trace-hour'; readonly row: TraceHour }
  | { readonly table: 'history'; readonly row: AverageChange }

export type Unnumbered<E extends RecordedEvent = RecordedEvent> = E extends LineEvent ? Omit<E, 'sequence'> : E

export interface StoredUpTo {
  readonly sequence: number
  /** Station time of the newest stored input; null before the first. */
  readonly atMs: number | null
  /** Inputs that are not stored yet. */
  readonly waiting: number
  readonly bytes: number
  readonly head: string | null
  /** Inputs that were not taken (number 0) since the queue was at its limit while nothing could be stored. */
  readonly refused: number
}

export type RecordingChange =
  | { readonly kind: 'stored'; readonly upTo: StoredUpTo }
  /**
   * `disk-full`, `io-error`, `worker-lost`: what could not be stored stays queued and is tried again. `queue-full`: while that
   * lasts, nothing more is taken. `derived-refused`: rows that no table takes, a defect of what made them. `taken-over`:
   * another program writes on the recording; nothing more is stored.
   */
  | {
      readonly kind: 'trouble'
      readonly code: 'disk-full' | 'io-error' | 'worker-lost' | 'queue-full' | 'derived-refused' | 'taken-over'
      readonly detail: string
    }
  | { readonly kind: 'recovered' }

/** Writes one recording from a worker thread. Everything returns at once but `flush` and `close`. */
export interface RecordingWriter {
  readonly path: string
  /**
   * Takes an input of the engine down and gives it its number (1, 2, 3 …, lines and events in one order). Bytes are copied.
   * Times are whole milliseconds; others are a defect and throw. 0: not taken, since nothing can be stored and the queue is
   * at its limit; such an input must not reach the engine, or a replay would differ. `StoredUpTo.refused` counts them.
   */
  append(event: Unnumbered): number
  /** Rows are stored behind all inputs appended so far and must not be changed afterwards. */
  derive(derived: readonly Derived[]): void
  /**
   * Empties what was derived so far: whoever resumes a recording replays its inputs and derives all of it anew, up to
   * `derivedWhole`. `noted` is what the emptying would make impossible to know; it is stored in the same commit.
   */
  deriveAnew(noted?: readonly Derived[]): void
  derivedWhole(): void
  storedUpTo(): StoredUpTo
  /** While nothing can be stored: whether the queue comes near the limit at which it takes no more. */
  readonly isNearlyFull: boolean
  /** Called when something was stored, or could not be. The listener must not throw. */
  onChange(listener: (change: RecordingChange) => void): void
  /** Resolves when all that was given so far is stored; rejects with a `RecordingTrouble` when it cannot be: it stays queued. */
  flush(): Promise<void>
  /** Seals, checkpoints, closes: the WAL is empty or gone afterwards. Rejects when inputs could not be stored, saying how many. */
  close(): Promise<void>
}
