import type { AlarmBook } from './alarms/book.ts'
import type { MeanLimits } from './alarms/mean-limits.ts'
import type { Check } from './amendments.ts'
import type { AveragePlan } from './averaging/average-values.ts'
import type { AveragesOfBlocks } from './averaging/averages-of-blocks.ts'
import type { BlockGrid } from './averaging/grid.ts'
import type { JoinedAverages } from './averaging/joined-averages.ts'
import type { RunResult } from './averaging/test-of-runs.ts'
import type { ConversionPlan, ConvertedValue } from './conversions/conversion-plan.ts'
import type { CrossSensitivity } from './corrections/cross-sensitivity.ts'
import type { DriftWatch } from './corrections/drift-watch.ts'
import type { SpanFactors } from './corrections/span-factors.ts'
import type { Zeros } from './corrections/zero.ts'
import type { ZeroPlan } from './corrections/zero-plan.ts'
import type { LimitsOfMeans } from './decision/limits-of-means.ts'
import type { Exclusions } from './exclusions.ts'
import type { EngineOutput } from './outputs.ts'
import type { PlantTracker } from './phases/plant-state.ts'
import type { StationFile } from './settings/station-file.ts'
import type { Tracer } from './tracing/tracer.ts'
import type { ZeroRecord } from './uncertainty/zero-record.ts'

/** What the streams of one station share. Owned by the engine's state; nobody else holds it. */
export interface EngineContext {
  readonly station: StationFile
  readonly plan: ConversionPlan
  readonly alarms: AlarmBook
  /** When alarms next do something by themselves on the station's clock. */
  readonly stationAxis: { readonly nextDueMs: number }
  readonly plant: PlantTracker
  readonly zeros: Zeros
  readonly zeroPlan: ZeroPlan
  readonly drift: DriftWatch
  /** Told of the run, before and after it. */
  readonly checks: readonly Check[]
  readonly spans: SpanFactors
  /** By stream; none where no cell of it answers to another gas. */
  readonly cross: ReadonlyMap<string, CrossSensitivity>
  /** What the zeros so far tell of drift: for the uncertainty of means. */
  readonly zeroRecord: ZeroRecord
  /** Clock of the station's zone: for schedules, and for blocks aligned to the clock. */
  readonly clockGrid: BlockGrid
  /** Whether each reading is put out, for screens and readings.csv; replay to blocks alone does without. */
  readonly listening: boolean
  readonly outputs: EngineOutput[]
  /** The newest raw value, corrected value and flag of each channel, by the station's index. */
  readonly raw: Float64Array
  readonly corrected: Float64Array
  readonly flags: Uint8Array
  /** 1 where a purge's zero is subtracted, by the station's index. */
  readonly zeroed: Uint8Array
  readonly purgeIsQualityAssurance: boolean
  readonly averagePlan: AveragePlan
  readonly meanLimits: MeanLimits
  readonly limitsOfMeans: LimitsOfMeans
  readonly averagesOfBlocks: AveragesOfBlocks
  /** The run average of each value, as the newest run to end gave it. */
  readonly runResults: RunResult[]
  /** The value that the live trace shows beside the reading, for the channels that have one. */
  readonly liveValues: readonly ConvertedValue[]
  crossStream: JoinedAverages | null
  /** The same of minutes whose zeros are known; null where nothing waits for zeros. */
  crossStreamSettled: JoinedAverages | null
  /** What an operator took out of the averages; null where nothing. */
  readonly exclusions: Exclusions | null
  /** Follows one average down to its lines; null where nobody asks. */
  trace: Tracer | null
  /** `gridStartMs`: from where averages aligned to the run count, in all streams alike; NaN before the first stream began it. */
  readonly run: { isOn: boolean; startMs: number; countedMs: number; isDue: boolean; gridStartMs: number }
  /** Station time of what happens now: the event's, or that of what fell due. */
  nowMs: number
  /** Station seconds per real second. */
  speed: number
}
