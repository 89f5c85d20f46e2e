import { createAlarmBook, stationAxis } from './alarms/book.ts'
import { MeanLimits } from './alarms/mean-limits.ts'
import { type Amendments, noAmendments } from './amendments.ts'
import { inputsOf } from './averaging/average-part.ts'
import { averagePlan } from './averaging/average-values.ts'
import { AveragesOfBlocks } from './averaging/averages-of-blocks.ts'
import { clockGrid } from './averaging/grid.ts'
import { joinedAverages, settledJoinedAverages } from './averaging/station-averages.ts'
import type { EngineContext } from './context.ts'
import { conversionPlan } from './conversions/conversion-plan.ts'
import { crossSensitivities } from './corrections/cross-sensitivity.ts'
import { DriftWatch } from './corrections/drift-watch.ts'
import { SpanFactors } from './corrections/span-factors.ts'
import { Zeros } from './corrections/zero.ts'
import { ZeroPlan } from './corrections/zero-plan.ts'
import { isZeroed } from './corrections/zeroable.ts'
import { limitsOfMeans } from './decision/limits-of-means.ts'
import { Exclusions } from './exclusions.ts'
import type { EngineOutput } from './outputs.ts'
import { PlantTracker } from './phases/plant-state.ts'
import type { StationFile } from './settings/station-file.ts'
import { Stream } from './stream.ts'
import type { TraceRequest } from './tracing/traced.ts'
import { Tracer } from './tracing/tracer.ts'
import { ZeroRecord } from './uncertainty/zero-record.ts'

export interface EngineOptions {
  /** Whether readings are put out one by one. It changes no other output. */
  readonly listening?: boolean
  /** Whether a last line without its end counts: on import only. */
  readonly unendedCounts?: boolean
  /** Exclusions and checks, wherever in the recording they were told. Not given: averages as they were lived through. */
  readonly amendments?: Amendments
  /** An average to follow down to its lines. It changes no output. */
  readonly trace?: TraceRequest
}

/** Everything that the engine knows. `step` changes it in place; nobody else holds or changes it. */
export interface EngineState {
  readonly context: EngineContext
  readonly streams: readonly Stream[]
  readonly streamById: ReadonlyMap<string, Stream>
  /** What `step` answers where nothing comes out; made once. */
  quiet: [EngineState, readonly EngineOutput[]] | null
  started: boolean
  /** When the run's end rule by the clock falls due; Infinity without one. */
  runDueMs: number
}

/** A fresh engine for a station. `station.streams[].profile` must hold profiles, not file names. */
export function createEngine(station: StationFile, options: EngineOptions = {}): EngineState {
  const plan = conversionPlan(station)
  const zeroed = Uint8Array.from(station.channels, (_, index) => Number(isZeroed(station, index)))
  const checks = options.amendments?.checks ?? []
  const spans = new SpanFactors(station, checks)
  const cross = crossSensitivities(station)
  const drift = new DriftWatch(station, checks)
  const averages = averagePlan(station, plan, (index) => zeroed[index] === 1 || spans.isChecked(index))
  const alarms = createAlarmBook(station)
  const outputs: EngineOutput[] = []
  const limits = limitsOfMeans(station, plan, averages, alarms.limits)
  const grid = clockGrid(station.station.timeZone, station.station.standardTime)
  const size = station.channels.length
  const { validity } = station.averaging
  const context: EngineContext = {
    station,
    plan,
    alarms,
    stationAxis: alarms.axis(stationAxis),
    outputs,
    plant: new PlantTracker(station.plantState),
    zeros: new Zeros(size),
    zeroPlan: new ZeroPlan(station, zeroed, cross, drift),
    drift,
    checks,
    spans,
    cross,
    zeroRecord: new ZeroRecord(size),
    clockGrid: grid,
    listening: options.listening ?? false,
    raw: new Float64Array(size).fill(Number.NaN),
    corrected: new Float64Array(size).fill(Number.NaN),
    flags: new Uint8Array(size),
    zeroed,
    purgeIsQualityAssurance: validity.rule === 'quadrants' && validity.purgeIsQualityAssurance,
    averagePlan: averages,
    meanLimits: new MeanLimits(station, plan, averages, alarms),
    limitsOfMeans: limits,
    averagesOfBlocks: new AveragesOfBlocks(station, grid, limits, () => context.trace),
    runResults: [],
    liveValues: plan.referred.flatMap((place) => plan.values[place ?? -1] ?? []),
    crossStream: null,
    crossStreamSettled: null,
    exclusions: Exclusions.of(station, options.amendments ?? noAmendments),
    trace: null,
    run: { isOn: false, startMs: Number.NaN, countedMs: 0, isDue: false, gridStartMs: Number.NaN },
    nowMs: Number.NEGATIVE_INFINITY,
    speed: station.clock.speed,
  }
  if (options.trace)
    context.trace = new Tracer(context, options.trace, (value) => context.zeroPlan.isHeld(value, inputsOf(plan, value)))
  context.crossStream = joinedAverages(context)
  context.crossStreamSettled = settledJoinedAverages(context)
  const streams = station.streams.map((settings) => new Stream(context, settings, options.unendedCounts ?? false))
  return {
    context,
    streams,
    streamById: new Map(streams.map((stream) => [stream.settings.id, stream])),
    quiet: null,
    started: false,
    runDueMs: Number.POSITIVE_INFINITY,
  }
}
