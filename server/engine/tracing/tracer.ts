import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { type CountFlag, countFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase, PlantState } from '../../../protocols/words/phases.ts'
import type { Accumulator } from '../averaging/accumulator.ts'
import type { AveragedValue, AveragePlan, Group } from '../averaging/average-values.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Budget } from '../uncertainty/budget.ts'
import type {
  TracedLane,
  TracedMinute,
  TracedReading,
  TracedSums,
  TracedValue,
  TracedZero,
  TraceRequest,
} from './traced.ts'

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
  readonly dilution: number
}

/** What of the engine a trace looks at. */
interface TracedEngine {
  readonly station: StationFile
  readonly averagePlan: AveragePlan
  /** The zero of each channel that is subtracted now; NaN where none is. */
  readonly zeros: { readonly value: Float64Array }
}

/**
 * Writes down what goes into one average: the very numbers that the accumulators took, as they took them. Nothing is
 * computed a second time but the sums of minutes, which are added up in the accumulators' order.
 *
 * Memory: the readings of the average asked for, and those of the purge or zero that is going on.
 */
export class Tracer {
  readonly request: TraceRequest
  readonly readings: TracedReading[] = []
  readonly zeros: TracedZero[] = []
  /** Minute means that were joined across streams; empty where one stream is enough. */
  readonly joined: TracedMinute[] = []
  private readonly context: TracedEngine
  /** The value asked for; null where the station forms none such. */
  readonly value: AveragedValue | null
  private readonly followed: ReadonlyMap<Group, string>
  /** Indexes of all channels that the average rests on. */
  readonly channels: readonly number[]
  private readonly sums = new Map<AverageRow, TracedSums>()
  private readonly arrivals = new Map<string, number[]>()
  private readonly parts: { lanes: string; fromMs: number; toMs: number; values: readonly number[] }[] = []
  private readonly zeroReadings = new Map<number, { sequence: number; value: number }[]>()
  private readonly zeroInUse = new Map<number, number>()
  private sequence = 0

  constructor(context: TracedEngine, request: TraceRequest) {
    this.context = context
    this.request = request
    this.value =
      context.averagePlan.values.find(
        ({ channel, quantity, unit }) =>
          context.station.channels[channel]?.id === request.channel &&
          quantity === request.quantity &&
          unit === request.unit,
      ) ?? null
    const group = this.group
    const groups = group === null ? [] : group.stream === null ? group.needs.map((need) => this.alone(need)) : [group]
    this.followed = new Map(groups.flatMap((one) => (one ? [[one, this.nameOf(one)] as const] : [])))
    this.channels = this.channelsOf(group)
  }

  private get group(): Group | null {
    return this.value === null ? null : (this.context.averagePlan.groups[this.value.group] ?? null)
  }

  /** The group of one channel by itself, which streams hand to averages across streams. */
  private alone(channel: number): Group | undefined {
    return this.context.averagePlan.groups.find(
      ({ lanes, needs }) =>
        lanes.length === 1 && needs.length === 1 && lanes[0]?.channel === channel && lanes[0].from !== 'converted',
    )
  }

  private nameOf(group: Group): string {
    return group.needs.map((index) => this.context.station.channels[index]?.id).join('+')
  }

  /** All channels that the average rests on: those that count together, what is converted, and the members of sums. */
  private channelsOf(group: Group | null): number[] {
    const found = new Set<number>()
    const add = (index: number): void => {
      found.add(index)
      for (const id of this.context.station.channels[index]?.sumOf ?? [])
        add(this.context.station.channels.findIndex((channel) => channel.id === id))
    }
    for (const need of group?.needs ?? []) add(need)
    if (this.value !== null) add(this.value.channel)
    return [...found]
  }

  /** The lanes of the average: what is summed, in the accumulator's order. */
  lanes(): readonly TracedLane[] {
    return (this.group?.lanes ?? []).map((lane) => ({
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

  /** After its parts: the reading that they belong to. */
  reading(reading: AveragedReading): void {
    const parts = this.parts.splice(0)
    const isWithin =
      reading.atMs < this.request.endMs && Math.max(reading.untilMs, reading.atMs + 1) > this.request.startMs
    if (!isWithin) return
    const values: Record<string, TracedValue> = {}
    for (const index of this.channels) {
      const channel = this.context.station.channels[index]
      if (!channel || this.streamOf(index) !== reading.stream) continue
      values[channel.id] = this.valueOf(index, reading)
    }
    if (Object.keys(values).length === 0) return
    this.readings.push({
      sequence: this.sequence,
      stream: reading.stream,
      atMs: reading.atMs,
      untilMs: reading.untilMs,
      phase: reading.phase,
      plant: reading.plant,
      counts: parts.length > 0,
      parts,
      values,
    })
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
    const isSum = channel?.sumOf !== undefined
    return {
      flag: flag === countFlag.counts && !reading.isMeasured ? whyNot(reading) : flag,
      asRead: finite(reading.raw[index]),
      zero: isSum || !reading.isMeasured ? null : finite(zero),
      zeroOf: isSum || Number.isNaN(zero) ? null : (this.zeroInUse.get(index) ?? null),
      spanFactor: isSum ? 1 : (this.context.station.corrections.span[channel?.id ?? ''] ?? 1),
      dilution: isSum || !channel?.species ? 1 : reading.dilution,
      corrected: reading.isMeasured ? finite(reading.corrected[index]) : null,
    }
  }

  /** A settled reading of a purge or zero that goes into a channel's zero. */
  zeroReading(channel: number, value: number): void {
    if (!this.channels.includes(channel)) return
    const readings = this.zeroReadings.get(channel)
    if (readings) readings.push({ sequence: this.sequence, value })
    else this.zeroReadings.set(channel, [{ sequence: this.sequence, value }])
  }

  /** The purge or zero is over. Zeros of after the average are of no use to it; the last before each is. */
  zeroTaken(channel: number, atMs: number, mean: number, standardDeviation: number | null, isUsed: boolean): void {
    if (!this.channels.includes(channel)) return
    const readings = this.zeroReadings.get(channel) ?? []
    this.zeroReadings.delete(channel)
    if (atMs >= this.request.endMs) return
    const id = this.context.station.channels[channel]?.id ?? ''
    if (atMs < this.request.startMs) {
      const earlier = this.zeros.findIndex((zero) => zero.channel === id)
      if (earlier >= 0) this.zeros.splice(earlier, 1)
    }
    this.zeros.push({ channel: id, atMs, mean, standardDeviation, used: isUsed, readings })
    this.zeroInUse.set(channel, atMs)
  }

  /** A minute was joined across streams: the mean of each channel, in the order of `needs`, and how long it weighs. */
  minuteJoined(group: Group, startMs: number, countedMs: number, means: readonly number[]): void {
    if (group === this.group && startMs >= this.request.startMs && startMs < this.request.endMs)
      this.joined.push({ startMs, countedMs, means })
  }

  /** A row was formed from these sums. */
  row(
    value: AveragedValue,
    total: Accumulator,
    group: number,
    denominatorMs: number,
    row: AverageRow,
    budget: () => Budget | null,
  ): void {
    const { request } = this
    if (
      row.channel !== request.channel ||
      row.quantity !== request.quantity ||
      row.unit !== request.unit ||
      row.average !== request.average ||
      row.startMs !== request.startMs
    )
      return
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
    })
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
