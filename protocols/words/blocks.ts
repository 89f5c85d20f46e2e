import type { Basis, ValueQuantity } from './quantities.ts'
import type { Species } from './species.ts'
import type { IsoDuration } from './time.ts'
import type { Unit } from './units.ts'
import type { RowVerdict } from './verdicts.ts'

/** Why a block is invalid, or what else must be said of it. */
export const blockReasons = [
  'coverage_low',
  'quadrant_empty',
  'points_too_close',
  'minutes_short',
  'nothing_counted',
  'not_operating',
  'run_started',
  'run_ended',
  'oxygen_invalid',
  'peripheral_invalid',
  'oxygen_near_ambient',
  'oxygen_below_reference_not_corrected',
  'moisture_unknown',
  'no_zero_yet',
  'internal_zero_drift_not_observable',
  'gap',
  'instrument_fault',
  'clock_step',
  'excluded',
  'drift_beyond_limit',
  'bias_beyond_limit',
  'drift_noted',
  'zero_not_followed',
  'readings_not_converted',
  'defect',
] as const
export type BlockReason = (typeof blockReasons)[number]
/** Reasons that make a block invalid by themselves; the others only say something about it. */
export const invalidatingReasons: ReadonlySet<BlockReason> = new Set([
  'coverage_low',
  'quadrant_empty',
  'points_too_close',
  'minutes_short',
  'nothing_counted',
  'not_operating',
  'oxygen_invalid',
  'peripheral_invalid',
  'oxygen_near_ambient',
  'moisture_unknown',
  'drift_beyond_limit',
  'bias_beyond_limit',
  'defect',
])

export const blockStates = ['open', 'provisional', 'final'] as const
export type BlockState = (typeof blockStates)[number]

/** How a mean stands to the detection limit: all of it above (ADL), some readings below (DLL), all below (BDL). Source: EPA GD-51 (2009). */
export const detections = ['ADL', 'DLL', 'BDL'] as const
export type Detection = (typeof detections)[number]

/** One average of one value of one channel: a row of blocks.csv and rolling.csv. Times are UTC instants, [start, end). */
export interface AverageRow {
  readonly stream: string
  readonly channel: string
  readonly species: Species | null
  readonly quantity: ValueQuantity
  readonly unit: Unit
  readonly basis: Basis | null
  /** vol%; null where the value is not referred to an oxygen content. */
  readonly referenceOxygen: number | null
  /** `273.15K,101.325kPa` for a mass concentration; null for what needs none. */
  readonly conditions: string | null
  readonly average: IsoDuration
  readonly startMs: number
  readonly endMs: number
  /** null: nothing counted, or the value cannot be formed; never 0, never NaN. */
  readonly mean: number | null
  readonly minimum: number | null
  readonly maximum: number | null
  readonly standardDeviation: number | null
  readonly count: number
  readonly countedMs: number
  /** counted time / time of the block in plant state running, 0…1; null when the plant did not run. */
  readonly coverage: number | null
  readonly valid: boolean
  readonly reasons: readonly BlockReason[]
  /** null: no detection limit is set for the channel, or there is no mean. */
  readonly detection: Detection | null
  readonly state: BlockState
  /** Expanded uncertainty U (k = 2) in the row's unit; null where there is no mean or nothing is known of it. */
  readonly uncertainty: number | null
  /** One for each limit that this average is compared with; empty where there is none, or the average is invalid. */
  readonly verdicts: readonly RowVerdict[]
}

/** What makes two rows the same average: later rows replace earlier ones. */
export const averageKey = (row: Pick<AverageRow, 'channel' | 'quantity' | 'unit' | 'average' | 'startMs'>): string =>
  `${row.channel}/${row.quantity}/${row.unit}/${row.average}/${row.startMs}`
