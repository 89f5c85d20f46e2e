import type { EngineContext } from '../context.ts'
import { type Accumulator, remark } from './accumulator.ts'
import type { JoinedPart } from './average-part.ts'
import { AverageSet, type DueRows } from './average-set.ts'
import { type Group, isOfOneChannel } from './average-values.ts'
import { biasedRunContext } from './biased-run-context.ts'
import { gridOfRun } from './grid-of-run.ts'
import type { RowContext } from './row-context.ts'

/** What a stream’s minute says of one channel, as drift corrected. */
interface ChannelMinute {
  readonly mean: number
  readonly weightMs: number
  /** Of its readings: how many, their mean, the sum of squared deviations from it, their first and last time. */
  readonly count: number
  readonly centre: number
  readonly squares: number
  readonly firstMs: number
  readonly lastMs: number
}

interface StreamMinute {
  readonly channels: ReadonlyMap<number, ChannelMinute>
  readonly remarks: number
  readonly qualityAssurance: boolean
  readonly factorMs: number
  readonly factorToldMs: number
}

/** What holds for a whole run is told of the joined averages by themselves. */
const carriedRemarks = remark.gap | remark.instrumentFault | remark.clockStep | remark.noZeroYet

/**
 * Values that need channels of the same streams are joined by minute means (docs/calculations.md): a minute counts where every
 * channel has counted time in it, and weighs as long as the shortest of them.
 */
export class CrossStreamMinutes {
  private readonly context: EngineContext
  private readonly part: JoinedPart
  private readonly rows: RowContext
  private readonly longestLagMinutes: number
  /** Streams of which a zero is subtracted somewhere: without one yet, the others need not say so. */
  private readonly zeroed: ReadonlySet<string>
  /** Of each group, the channels with a reading that no minute counted yet, since another had none of its own there. */
  private readonly uncounted: readonly Set<number>[]
  private set: AverageSet | null = null
  private readonly waiting = new Map<number, Map<string, StreamMinute>>()
  /** Start of the newest minute of each stream, which finishes them in order: it tells nothing more of an earlier one. */
  private readonly newestMs = new Map<string, number>()
  private runStartMs = Number.NaN
  /** Start of the newest minute that was joined: none before it is taken any more. */
  private joinedMs = Number.NEGATIVE_INFINITY

  /** longestLagMinutes: how many minutes one stream may lag behind another before their minutes are no longer joined. */
  constructor(context: EngineContext, part: JoinedPart, rows: RowContext, longestLagMinutes: number) {
    this.context = context
    this.part = part
    this.rows = rows
    this.longestLagMinutes = longestLagMinutes
    const joined = part.groups.filter(({ needs }) => needs.length > 1).flatMap(({ needs }) => needs)
    this.zeroed = new Set(
      joined.flatMap((index) => (context.zeroed[index] === 1 ? (context.station.channels[index]?.stream ?? []) : [])),
    )
    this.uncounted = part.groups.map(() => new Set())
  }

  startRun(at: number): void {
    if (this.set) return
    this.runStartMs = at
    const { averaging } = this.context.station
    this.set = new AverageSet({
      groups: this.part.groups,
      context: this.rows,
      grid: gridOfRun(this.context, at),
      blocks: averaging.blocks,
      rolling: averaging.rolling,
      finalAfterMs: 0,
      runStartMs: at,
      runningMs: (from, to) => this.context.plant.runningMs(from, to),
      runContext: (rows, fromMs, toMs) => biasedRunContext(rows, this.context.checks, fromMs, toMs),
      onRun: (results) => this.context.runResults.push(...results),
    })
  }

  /** A stream's minute is finished; false where it comes too late to be joined. */
  minute(stream: string, startMs: number, minute: Accumulator, groups: readonly Group[], runStartMs: number): boolean {
    const { streams } = this.part
    if (!streams.includes(stream)) return true
    if (!this.set) this.startRun(runStartMs)
    this.newestMs.set(stream, startMs)
    if (startMs <= this.joinedMs) return false
    const entry = this.waiting.get(startMs) ?? new Map<string, StreamMinute>()
    this.waiting.set(startMs, entry.set(stream, streamMinute(minute, groups)))
    this.join(Math.min(...streams.map((id) => this.newestMs.get(id) ?? Number.NEGATIVE_INFINITY)))
    return true
  }

  /** Joins what waits, up to the minute that all streams have finished; beyond it only what has waited too long. */
  private join(finishedMs: number): void {
    for (const [startMs, streams] of [...this.waiting].sort(([a], [b]) => a - b)) {
      if (startMs > finishedMs && this.waiting.size <= this.longestLagMinutes) return
      this.waiting.delete(startMs)
      this.joinedMs = startMs
      if (this.set && startMs >= this.runStartMs - 60_000) this.take(startMs, streams, this.set)
    }
  }

  private take(startMs: number, streams: ReadonlyMap<string, StreamMinute>, set: AverageSet): void {
    const minute = set.at(startMs)
    for (const [stream, { remarks, qualityAssurance, factorMs, factorToldMs }] of streams) {
      minute.remarks |= remarks & (this.zeroed.has(stream) ? carriedRemarks : carriedRemarks & ~remark.noZeroYet)
      minute.qualityAssurance ||= qualityAssurance
      minute.addFactor(factorMs, factorToldMs)
    }
    const channels = new Map([...streams.values()].flatMap((one) => [...one.channels]))
    this.part.groups.forEach((group, index) => {
      const found = group.needs.flatMap((channel) => channels.get(channel) ?? [])
      const weightMs = found.length < group.needs.length ? 0 : Math.min(...found.map((one) => one.weightMs))
      if (!(weightMs > 0)) {
        this.uncounted[index]?.clear()
        return
      }
      minute.weightMs[index] = weightMs
      const lane = minute.laneStart[index] as number
      group.lanes.forEach(({ channel }, at) => {
        minute.integral[lane + at] = (channels.get(channel)?.mean ?? Number.NaN) * weightMs
      })
      if (isOfOneChannel(group)) takePoints(minute, index, found[0] as ChannelMinute)
      else this.joinPoints(minute, index, group, found)
      this.context.trace?.minuteJoined(
        group,
        startMs,
        weightMs,
        found.map((one) => one.mean),
        this.rows.areSettled,
      )
    })
  }

  /**
   * As many as the channel with the least has. Where one has none of its own, since it sends less than one a minute, the
   * others' are kept for the minute in which it has: two that take turns would never meet.
   */
  private joinPoints(minute: Accumulator, index: number, { needs }: Group, found: readonly ChannelMinute[]): void {
    const uncounted = this.uncounted[index] as Set<number>
    const counts = found.map(({ count }, place) => Math.max(count, Number(uncounted.has(needs[place] as number))))
    const count = Math.min(...counts)
    if (count === 0) {
      for (const [place, channel] of needs.entries()) if ((found[place]?.count ?? 0) > 0) uncounted.add(channel)
      return
    }
    uncounted.clear()
    const told = found.filter((one) => one.count > 0)
    minute.count[index] = count
    minute.firstMs[index] = Math.max(...told.map(({ firstMs }) => firstMs))
    minute.lastMs[index] = Math.min(...told.map(({ lastMs }) => lastMs))
  }

  /** Rows of the minutes that every stream has finished. */
  finished(): readonly DueRows[] {
    return this.set ? this.set.advance(this.set.openMinuteStartMs) : []
  }

  endRun(endOf: ReadonlyMap<string, number>): readonly DueRows[] {
    // No stream finishes another minute: one that a stream lacks, since it began later or ended earlier, is joined as it is.
    this.join(Number.POSITIVE_INFINITY)
    const ends = this.part.streams.flatMap((id) => endOf.get(id) ?? [])
    const rows = this.set?.end(Math.max(...ends)) ?? []
    this.set = null
    this.waiting.clear()
    this.newestMs.clear()
    for (const channels of this.uncounted) channels.clear()
    this.joinedMs = Number.NEGATIVE_INFINITY
    return rows
  }

  openRows(): ReturnType<AverageSet['openRows']> {
    return this.set?.openRows() ?? []
  }
}

function streamMinute(minute: Accumulator, groups: readonly Group[]): StreamMinute {
  const channels = new Map<number, ChannelMinute>()
  groups.forEach((group, index) => {
    if (!isOfOneChannel(group)) return
    channels.set(group.needs[0] as number, {
      mean: minute.mean(index, minute.laneStart[index] as number),
      weightMs: minute.weightMs[index] as number,
      count: minute.count[index] as number,
      centre: minute.centre[index] as number,
      squares: minute.squares[index] as number,
      firstMs: minute.firstMs[index] as number,
      lastMs: minute.lastMs[index] as number,
    })
  })
  const { remarks, qualityAssurance, factorMs, factorToldMs } = minute
  return { channels, remarks, qualityAssurance, factorMs, factorToldMs }
}

/** The readings of a channel by itself, as its own stream tells them. */
function takePoints(
  minute: Accumulator,
  index: number,
  { count, centre, squares, firstMs, lastMs }: ChannelMinute,
): void {
  minute.count[index] = count
  minute.centre[index] = centre
  minute.squares[index] = squares
  minute.firstMs[index] = firstMs
  minute.lastMs[index] = lastMs
}
