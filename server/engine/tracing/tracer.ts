import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { type CountFlag, countFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase, PlantState } from '../../../protocols/words/phases.ts'
import type { Accumulator } from '../averaging/accumulator.ts'
import { type AveragedValue, type AveragePlan, type Group, isOfOneChannel } from '../averaging/average-values.ts'
import type { MappedChannel } from '../channel-map.ts'
import type { CrossSensitivity } from '../corrections/cross-sensitivity.ts'
import type { RunBias } from '../corrections/run-bias.ts'
import type { ZeroLine } from '../corrections/zero-line.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Budget } from '../uncertainty/budget.ts'
import { settledReading } from './settled-reading.ts'
import type {
  TracedBlocks,
  TracedLane,
  TracedMinute,
  TracedReading,
  TracedSums,
  TracedValue,
  TraceRequest,
} from './traced.ts'
import { ZeroTrace } from './zero-trace.ts'

/** What a reading was as it was averaged; arrays by the station's channel index, lent for the call. */
export interface AveragedReading {
  readonly stream: string
  readonly atMs: number
  /** End of what it represents, cut at phase edges. */
  readonly untilMs: number
  readonly phase: Phase
  readonly plant: PlantState
  readonly raw: Float64Array
  readonly corrected: Float64Array
  readonly flags: Uint8Array
  /** Whether phase and plant let it count at all; otherwise `corrected` holds nothing of it. */
  readonly isMeasured: boolean
  /** The stream's, with the span factors that were applied. */
  readonly channels: readonly MappedChannel[]
  readonly dilution: number
}

/** What of the engine a trace looks at. */
interface TracedEngine {
  readonly station: StationFile
  readonly averagePlan: AveragePlan
  /** The zero of each channel that is subtracted now; NaN where none is. */
  readonly zeros: { readonly value: Float64Array }
  readonly cross: ReadonlyMap<string, CrossSensitivity>
}

/**
 * Writes down what goes into one average: the very numbers that the accumulators took, as they took them. Nothing is
 * computed a second time but the sums of minutes, which are added up in the accumulators' order, and the readings of
 * averages that stand only once the next zero is known: held minutes keep none, so each is corrected by itself here.
 *
 * Memory: the readings of the average asked for, and those of the purge or zero that is going on. An average of blocks has its
 * blocks instead.
 */
export class Tracer {
  readonly request: TraceRequest
  /** As they were first averaged. */
  readonly readings: TracedReading[] = []
  readonly zeros: ZeroTrace
  /** As they stand once the zeros after them are known, by what they were. */
  private readonly settled = new Map<TracedReading, TracedReading>()
  private unsettled: TracedReading[] = []
  /** Whether the average asked for is told again, once the next zero is known. */
  private readonly isHeld: boolean
  /** Whether it is formed of other averages. */
  private readonly isOfBlocks: boolean
  private readonly blocks = new Map<AverageRow, TracedBlocks>()
  private readonly uncrossed: Float64Array
  private readonly joined = { first: [] as TracedMinute[], settled: [] as TracedMinute[] }
  private readonly context: TracedEngine
  /** The value asked for; null where the station forms none such. */
  readonly value: AveragedValue | null
  private readonly followed: ReadonlyMap<Group, string>
  /** Indexes of all channels that the average rests on. */
  readonly channels: readonly number[]
  private readonly sums = new Map<AverageRow, TracedSums>()
  private readonly arrivals = new Map<string, number[]>()
  private readonly parts: { lanes: string; fromMs: number; toMs: number; values: readonly number[] }[] = []
  private sequence = 0

  /** waits: whether a value stands only once the next zero is known. */
  constructor(context: TracedEngine, request: TraceRequest, waits: (value: AveragedValue) => boolean) {
    this.context = context
    this.request = request
    this.value =
      context.averagePlan.values.find(
        ({ channel, quantity, unit }) =>
          context.station.channels[channel]?.id === request.channel &&
          quantity === (request.quantity === 'bias_corrected' ? 'as_read' : request.quantity) &&
          unit === request.unit,
      ) ?? null
    this.isOfBlocks = context.station.averaging.ofBlocks.some(({ average }) => average === request.average)
    this.isHeld = this.value !== null && waits(this.value)
    this.uncrossed = new Float64Array(context.station.channels.length)
    const group = this.isOfBlocks ? null : this.group
    const groups = group === null ? [] : group.stream === null ? group.needs.map((need) => this.alone(need)) : [group]
    this.followed = new Map(groups.flatMap((one) => (one ? [[one, this.nameOf(one)] as const] : [])))
    this.channels = this.channelsOf(group)
    this.zeros = new ZeroTrace(request, (channel) =>
      this.channels.includes(channel) ? (context.station.channels[channel]?.id ?? null) : null,
    )
  }

  private get group(): Group | null {
    return this.value === null ? null : (this.context.averagePlan.groups[this.value.group] ?? null)
  }

  /** The group of one channel by itself, which streams hand to averages across streams. */
  private alone(channel: number): Group | undefined {
    return this.context.averagePlan.groups.findLast((group) => isOfOneChannel(group) && group.needs[0] === channel)
  }

  private nameOf(group: Group): string {
    return group.needs.map((index) => this.context.station.channels[index]?.id).join('+')
  }

  /**
   * All channels that the average rests on: those that count together, what is converted, the members of sums, and the gases
   * that their cells also answer to.
   */
  private channelsOf(group: Group | null): number[] {
    const found = new Set<number>()
    const add = (index: number): void => {
      if (found.has(index)) return
      found.add(index)
      const settings = this.context.station.channels[index]
      for (const id of settings?.sumOf ?? [])
        add(this.context.station.channels.findIndex((channel) => channel.id === id))
      for (const part of this.context.cross.get(settings?.stream ?? '')?.partsOf(index) ?? []) add(part.channel)
    }
    for (const need of group?.needs ?? []) add(need)
    if (this.value !== null) add(this.value.channel)
    return [...found]
  }

  /** The lanes of the average: what is summed, in the accumulator's order. */
  lanes(): readonly TracedLane[] {
    return (this.isOfBlocks ? [] : (this.group?.lanes ?? [])).map((lane) => ({
      channel: this.context.station.channels[lane.channel]?.id ?? '',
      from: lane.from,
    }))
  }

  /** Ids of the channels that count together for it. */
  needs(): readonly string[] {
    return (this.group?.needs ?? []).map((index) => this.context.station.channels[index]?.id ?? '')
  }

  isJoined(): boolean {
    return this.group?.stream === null
  }

  follows(group: Group): boolean {
    return this.followed.has(group)
  }

  /** A line's reading waits to be averaged; it comes back in the order of arrival. */
  arrived(stream: string, sequence: number): void {
    const waiting = this.arrivals.get(stream)
    if (waiting) waiting.push(sequence)
    else this.arrivals.set(stream, [sequence])
  }

  /** The oldest waiting reading of the stream is averaged now. */
  released(stream: string): void {
    this.sequence = this.arrivals.get(stream)?.shift() ?? 0
  }

  /** So long a part of the present reading went into a group of lanes. */
  entered(group: Group, fromMs: number, toMs: number, values: readonly number[]): void {
    if (fromMs < this.request.endMs && fromMs >= this.request.startMs)
      this.parts.push({ lanes: this.followed.get(group) ?? '', fromMs, toMs, values })
  }

  /** A reading after zero, span and dilution, before it is known what other gases added to it; lent for the call. */
  beforeCross(corrected: Float64Array): void {
    this.uncrossed.set(corrected)
  }

  /** After its parts: the reading that they belong to. */
  reading(reading: AveragedReading): void {
    const parts = this.parts.splice(0)
    const isWithin =
      reading.atMs < this.request.endMs && Math.max(reading.untilMs, reading.atMs + 1) > this.request.startMs
    if (!isWithin || this.isOfBlocks) return
    const values: Record<string, TracedValue> = {}
    for (const index of this.channels) {
      const channel = this.context.station.channels[index]
      if (!channel || this.streamOf(index) !== reading.stream) continue
      values[channel.id] = this.valueOf(index, reading)
    }
    if (Object.keys(values).length === 0) return
    const traced: TracedReading = {
      sequence: this.sequence,
      stream: reading.stream,
      atMs: reading.atMs,
      untilMs: reading.untilMs,
      phase: reading.phase,
      plant: reading.plant,
      counts: parts.length > 0,
      parts,
      values,
    }
    this.readings.push(traced)
    if (this.isHeld && reading.isMeasured) this.unsettled.push(traced)
  }

  /**
   * The zeros after all readings of a stream so far are known. `lines`: of the channels that are corrected; `channels`: of all that
   * have such a zero.
   */
  zerosKnown(stream: string, lines: ReadonlyMap<number, ZeroLine>, channels: readonly number[]): void {
    const followed = new Map(
      channels.flatMap((channel) => {
        const atMs = this.zeros.zeroOf(channel)
        return atMs === null ? [] : [[channel, atMs] as const]
      }),
    )
    const cross = this.context.cross.get(stream) ?? null
    for (const reading of this.unsettled)
      if (reading.stream === stream)
        this.settled.set(
          reading,
          settledReading(this.context.station, cross, this.lanes(), reading, { lines, followed }),
        )
    this.unsettled = this.unsettled.filter((reading) => reading.stream !== stream)
  }

  /** No zero came in time for the readings of a stream before `untilMs`: they stand as they are. */
  zerosUnfollowed(stream: string, untilMs: number): void {
    this.unsettled = this.unsettled.filter((reading) => reading.stream !== stream || reading.atMs >= untilMs)
  }

  private standsSettled(row: AverageRow): boolean {
    return this.isHeld && row.state === 'final'
  }

  /** The readings as they are in a row. */
  readingsOf(row: AverageRow): readonly TracedReading[] {
    return this.standsSettled(row)
      ? this.readings.map((reading) => this.settled.get(reading) ?? reading)
      : this.readings
  }

  /** Minute means that were joined across streams for a row; empty where one stream is enough. */
  joinedOf(row: AverageRow): readonly TracedMinute[] {
    return this.standsSettled(row) ? this.joined.settled : this.joined.first
  }

  private streamOf(index: number): string | undefined {
    const channel = this.context.station.channels[index]
    return channel?.stream ?? this.context.station.channels.find(({ id }) => id === channel?.sumOf?.[0])?.stream
  }

  private valueOf(index: number, reading: AveragedReading): TracedValue {
    const channel = this.context.station.channels[index]
    const flag = reading.flags[index] as CountFlag
    const finite = (value: number | undefined): number | null =>
      value === undefined || !Number.isFinite(value) ? null : value
    const zero = this.context.zeros.value[index]
    const mapped = reading.channels.find((one) => one.index === index)
    const isSum = channel?.sumOf !== undefined
    return {
      flag: flag === countFlag.counts && !reading.isMeasured ? whyNot(reading) : flag,
      asRead: finite(reading.raw[index]),
      zero: isSum || !reading.isMeasured ? null : finite(zero),
      zeroOf: isSum || Number.isNaN(zero) ? null : this.zeros.zeroOf(index),
      zeroTo: null,
      isOnLine: false,
      spanFactor: isSum ? 1 : (mapped?.spanFactor ?? 1),
      dilution: mapped?.isDiluted ? reading.dilution : 1,
      alone: reading.isMeasured && !isSum ? finite(this.uncrossed[index]) : null,
      corrected: reading.isMeasured ? finite(reading.corrected[index]) : null,
    }
  }

  /** A settled reading of a purge or zero goes into a channel's zero. */
  zeroReading(channel: number, value: number): void {
    this.zeros.reading(channel, this.sequence, value)
  }

  /** A minute was joined across streams: the mean of each channel, in the order of `needs`, and how long it weighs. */
  minuteJoined(group: Group, startMs: number, countedMs: number, means: readonly number[], areSettled: boolean): void {
    if (group === this.group && startMs >= this.request.startMs && startMs < this.request.endMs)
      this.joined[areSettled ? 'settled' : 'first'].push({ startMs, countedMs, means })
  }

  /** A row was formed from these sums. */
  row(
    value: AveragedValue,
    total: Accumulator,
    denominatorMs: number,
    row: AverageRow,
    biasOf: (channel: number) => RunBias | null,
    budget: () => Budget | null,
  ): void {
    if (!this.isAsked(row)) return
    const { group } = value
    const first = total.laneStart[group] as number
    const means: number[] = []
    for (let lane = first; lane < (total.laneStart[group + 1] as number); lane++) means.push(total.mean(group, lane))
    this.sums.set(row, {
      countedMs: total.weightMs[group] as number,
      integrals: Array.from(total.integral.subarray(first, total.laneStart[group + 1])),
      means,
      count: total.count[group] as number,
      denominatorMs,
      converted: value.convert !== null,
      budget: budget(),
      biases: (value.convert?.inputs ?? [value.channel]).map((channel) =>
        value.convert || value.corrects ? biasOf(channel) : null,
      ),
    })
  }

  /** A row was formed of blocks. */
  ofBlocks(row: AverageRow, blocks: TracedBlocks): void {
    if (this.isAsked(row)) this.blocks.set(row, blocks)
  }

  private isAsked(row: AverageRow): boolean {
    const { request } = this
    return (
      row.channel === request.channel &&
      row.quantity === request.quantity &&
      row.unit === request.unit &&
      row.average === request.average &&
      row.startMs === request.startMs
    )
  }

  blocksOf(row: AverageRow): TracedBlocks | null {
    return this.blocks.get(row) ?? null
  }

  sumsOf(row: AverageRow): TracedSums | null {
    return this.sums.get(row) ?? null
  }
}

const whyNot = (reading: AveragedReading): CountFlag =>
  reading.phase === 'fault'
    ? countFlag.instrumentFault
    : reading.phase === 'measure' || reading.phase === 'settle'
      ? countFlag.plantNotRunning
      : countFlag.notMeasuring
