import type { EngineContext } from '../context.ts'
import type { Accumulator } from './accumulator.ts'
import type { AveragePart } from './average-part.ts'
import { AverageSet, type DueRows } from './average-set.ts'
import type { Group } from './average-values.ts'
import { biasedRunContext } from './biased-run-context.ts'
import { gridOfRun } from './grid-of-run.ts'
import type { JoinedAverages } from './joined-averages.ts'
import type { RowContext } from './row-context.ts'

/** Mean, counted ms and count of a channel in one minute, as drift corrected. */
type ChannelMinute = ReadonlyMap<number, { readonly mean: number; readonly weightMs: number; readonly count: number }>

/**
 * Values that need channels of several streams are joined by minute means (docs/calculations.md): a minute counts where every
 * channel has counted time in it, and weighs as long as the shortest of them.
 */
export class CrossStreamMinutes implements JoinedAverages {
  private readonly context: EngineContext
  private readonly part: AveragePart
  private readonly rows: RowContext
  private readonly longestLagMinutes: number
  private readonly streams: readonly string[]
  private set: AverageSet | null = null
  private readonly waiting = new Map<number, Map<string, ChannelMinute>>()
  /** Start of the newest minute of each stream, which finishes them in order: it tells nothing more of an earlier one. */
  private readonly newestMs = new Map<string, number>()
  private runStartMs = Number.NaN
  /** Start of the newest minute that was joined: none before it is taken any more. */
  private joinedMs = Number.NEGATIVE_INFINITY
  /** Streams whose newest minute came too late. */
  private readonly late = new Set<string>()

  /** longestLagMinutes: how many minutes one stream may lag behind another before their minutes are no longer joined. */
  constructor(context: EngineContext, part: AveragePart, rows: RowContext, longestLagMinutes: number) {
    this.context = context
    this.part = part
    this.rows = rows
    this.longestLagMinutes = longestLagMinutes
    const needed = new Set(part.groups.flatMap(({ needs }) => needs))
    this.streams = context.station.streams
      .map(({ id }) => id)
      .filter((id) => [...needed].some((index) => context.station.channels[index]?.stream === id))
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

  /** A stream's minute is finished. */
  minute(stream: string, startMs: number, minute: Accumulator, groups: readonly Group[], runStartMs: number): void {
    if (!this.streams.includes(stream)) return
    if (!this.set) this.startRun(runStartMs)
    this.newestMs.set(stream, startMs)
    if (startMs <= this.joinedMs) {
      this.tellLate(stream, startMs)
      return
    }
    this.late.delete(stream)
    const channels: [number, { mean: number; weightMs: number; count: number }][] = []
    groups.forEach((group, index) => {
      const [lane] = group.lanes
      if (!lane || group.lanes.length !== 1 || lane.from === 'converted' || group.needs.length !== 1) return
      channels.push([
        lane.channel,
        {
          mean: minute.mean(index, minute.laneStart[index] as number),
          weightMs: minute.weightMs[index] as number,
          count: minute.count[index] as number,
        },
      ])
    })
    const entry = this.waiting.get(startMs) ?? new Map<string, ChannelMinute>()
    this.waiting.set(startMs, entry.set(stream, new Map(channels)))
    this.join(Math.min(...this.streams.map((id) => this.newestMs.get(id) ?? Number.NEGATIVE_INFINITY)))
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

  /** What was formed without it stays as it is: a row that is final is not told again. */
  private tellLate(stream: string, startMs: number): void {
    if (this.late.has(stream)) return
    this.late.add(stream)
    const from = new Date(startMs).toISOString()
    this.context.outputs.push({
      ...{ kind: 'notice', code: 'joined_without', stream, channel: null, atMs: this.context.nowMs },
      text: `readings from ${from} on came ${this.longestLagMinutes / 60} h or more after those of the other instruments: they count in the averages of their own instrument, not in those across instruments`,
    })
  }

  private take(startMs: number, streams: ReadonlyMap<string, ChannelMinute>, set: AverageSet): void {
    const minute = set.at(startMs)
    this.part.groups.forEach((group, index) => {
      const found = group.needs.map((channel) =>
        [...streams.values()].map((channels) => channels.get(channel)).find((one) => one !== undefined),
      )
      const weightMs = Math.min(...found.map((one) => one?.weightMs ?? 0))
      if (!(weightMs > 0)) return
      minute.weightMs[index] = weightMs
      group.lanes.forEach((lane, at) => {
        const place = group.needs.indexOf(lane.channel)
        minute.integral[(minute.laneStart[index] as number) + at] = (found[place]?.mean ?? Number.NaN) * weightMs
      })
      minute.addPoint(index, found[0]?.mean ?? 0, startMs)
      this.context.trace?.minuteJoined(
        group,
        startMs,
        weightMs,
        found.map((one) => one?.mean ?? Number.NaN),
        this.rows.areSettled,
      )
      minute.count[index] = Math.min(...found.map((one) => one?.count ?? 0))
    })
  }

  /** Rows of the minutes that every stream has finished. */
  finished(): readonly DueRows[] {
    return this.set ? this.set.advance(this.set.openMinuteStartMs) : []
  }

  endRun(endOf: ReadonlyMap<string, number>): readonly DueRows[] {
    // No stream finishes another minute: one that a stream lacks, since it began later or ended earlier, is joined as it is.
    this.join(Number.POSITIVE_INFINITY)
    const ends = this.streams.flatMap((id) => endOf.get(id) ?? [])
    const rows = this.set?.end(Math.max(...ends)) ?? []
    this.set = null
    this.waiting.clear()
    this.newestMs.clear()
    this.late.clear()
    this.joinedMs = Number.NEGATIVE_INFINITY
    return rows
  }

  openRows(): ReturnType<AverageSet['openRows']> {
    return this.set?.openRows() ?? []
  }
}
