import type { RefusalReason } from '../../protocols/instrument/reader.ts'
import type { AlarmTransition } from '../../protocols/words/alarms.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { Phase, PhaseSource, PlantState } from '../../protocols/words/phases.ts'

/** One line's reading, for the live trace and readings.csv. Arrays are copies, one entry per channel of the station file. */
export interface ReadingOutput {
  readonly kind: 'reading'
  readonly stream: string
  readonly atMs: number
  readonly sequence: number
  /** As known when the line came; signals may back-date it later. */
  readonly phase: Phase
  readonly plant: PlantState
  /** As read, in the channel's unit; NaN where there is no value. Channels of other streams are NaN. */
  readonly asRead: readonly number[]
  /** After zero and span; NaN where there is no value. */
  readonly corrected: readonly number[]
  /** Dry mass concentration or fraction referred to the reference oxygen, reading by reading, in `referredUnit`; NaN where it cannot be formed. */
  readonly referred: readonly number[]
  readonly flags: Uint8Array
}

/** Emitted when it opens (`endMs` null), when it is back-dated, and when it ends. */
export interface PhaseSpanOutput {
  readonly kind: 'phase-span'
  readonly stream: string
  readonly phase: Phase
  readonly startMs: number
  readonly endMs: number | null
  readonly cause: PhaseSource | 'settling' | 'run-start' | 'nothing-told'
  /** Recognised, not told. */
  readonly inferred: boolean
  readonly readings: number
}
export interface PlantSpanOutput {
  readonly kind: 'plant-span'
  readonly state: PlantState
  readonly startMs: number
  readonly endMs: number | null
  readonly cause: string
}

export interface AverageOutput {
  readonly kind: 'block' | 'rolling'
  readonly row: AverageRow
  /** A row that was provisional is told again, now final, and why only now. */
  readonly revises?: 'next zero'
}
export interface AlarmOutput {
  readonly kind: 'alarm'
  readonly transition: AlarmTransition
}
/** A line that takes no part. */
export interface RefusedOutput {
  readonly kind: 'refused'
  readonly stream: string
  readonly atMs: number
  readonly sequence: number
  readonly reason: RefusalReason
  readonly detail: string
}

export const noticeCodes = [
  'phase_conflict',
  'unknown_status',
  'dilution_changed',
  'gap',
  'source_clock_step',
  'fault_told',
  'fault_cleared',
  'purge_not_clean',
  'drift_beyond_limit',
  'sequence_of_lines',
  'joined_without',
  'zero_taken',
] as const
export type NoticeCode = (typeof noticeCodes)[number]
/** Something to know, in the logbook; no action asked. */
export interface NoticeOutput {
  readonly kind: 'notice'
  readonly code: NoticeCode
  readonly stream: string | null
  readonly channel: string | null
  readonly atMs: number
  readonly text: string
}

/** The zero of one channel from a purge's or zero's settled part: robust mean and spread. A drift record, never a silent re-zero. */
export interface ZeroOutput {
  readonly kind: 'zero'
  readonly channel: string
  readonly atMs: number
  readonly mean: number
  readonly standardDeviation: number | null
  readonly count: number
  /** Whether it is subtracted from now on. */
  readonly used: boolean
  /** What was subtracted until then; null where nothing was. */
  readonly inUse: number | null
  /** Whether nothing spoke against the purge's air. */
  readonly clean: boolean
  /** The middle of the readings that it is from: where it stands on the line between two zeros. */
  readonly middleMs: number
}

/** The run's end rule is met; the station answers with a run event. */
export interface RunDueOutput {
  readonly kind: 'run-due'
  readonly atMs: number
  readonly rule: 'counted-minutes' | 'minutes' | 'at'
}

export type EngineOutput =
  | ReadingOutput
  | PhaseSpanOutput
  | PlantSpanOutput
  | AverageOutput
  | AlarmOutput
  | RefusedOutput
  | NoticeOutput
  | ZeroOutput
  | RunDueOutput
