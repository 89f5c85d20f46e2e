import type { Accumulator } from '../averaging/accumulator.ts'
import { type AveragePart, inputsOf } from '../averaging/average-part.ts'
import type { AverageSet, DueRows } from '../averaging/average-set.ts'
import type { MappedChannel } from '../channel-map.ts'
import type { EngineContext } from '../context.ts'
import { longestHoldMs } from './longest-hold.ts'
import type { ZeroChange } from './zero.ts'
import type { ZeroLine } from './zero-line.ts'
import { type Slope, type ZeroGroup, ZeroMoments } from './zero-moments.ts'

const minuteMs = 60_000

interface HeldMinute {
  readonly startMs: number
  readonly total: Accumulator
  readonly moments: ZeroMoments | null
}

/**
 * The minutes of a stream that wait for its next zero. When it is known they are corrected, exactly as if each reading had been,
 * and go into averages of their own, whose rows are final. Memory: one record for each minute since the last zero, a day of
 * them at most; the oldest is then final with the last zero, and says so.
 */
export class HeldMinutes {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly settled: AverageSet
  private readonly channels: ReadonlyMap<number, MappedChannel>
  private readonly zeroed: readonly number[]
  private readonly groups: readonly ZeroGroup[]
  private readonly finalAfterMs: number
  private readonly held: HeldMinute[] = []
  /** Moments of the open minute, and of later ones that a long reading reaches into. */
  private readonly open = new Map<number, ZeroMoments>()
  private fedToMs = Number.NEGATIVE_INFINITY
  private knownMs = Number.NEGATIVE_INFINITY

  constructor(
    context: EngineContext,
    stream: string,
    channels: readonly MappedChannel[],
    part: AveragePart,
    settled: AverageSet,
    finalAfterMs: number,
  ) {
    this.context = context
    this.stream = stream
    this.settled = settled
    this.channels = new Map(channels.map((channel) => [channel.index, channel]))
    this.zeroed = channels.flatMap(({ index }) => (context.zeroed[index] === 1 ? [index] : []))
    this.finalAfterMs = finalAfterMs
    const held = new Set(
      part.values
        .filter((value) => context.zeroPlan.isHeld(value, inputsOf(context.plan, value)))
        .map(({ group }) => group),
    )
    this.groups = context.zeroPlan.interpolates
      ? part.groups.flatMap(({ needs, lanes }, group) =>
          held.has(group) && lanes.every(({ from }) => from === 'corrected')
            ? [
                this.groupOf(
                  group,
                  needs,
                  lanes.map(({ channel }) => channel),
                ),
              ]
            : [],
        )
      : []
  }

  private groupOf(group: number, needs: readonly number[], lanes: readonly number[]): ZeroGroup {
    const isDiluted = lanes
      .flatMap((channel) => this.context.zeroPlan.parts(channel))
      .some(({ channel }) => this.zeroed.includes(channel) && this.channels.get(channel)?.isDiluted)
    return { group, needs, lanes, isDiluted }
  }

  /** A reading that counts, as it enters the open minute of `set`. `corrected`, `flags`: by the station's channel index. */
  reading(
    set: AverageSet,
    at: number,
    untilMs: number,
    corrected: Float64Array,
    flags: Uint8Array,
    dilution: number,
  ): void {
    if (this.groups.length === 0) return
    let from = at
    let start = set.openMinuteStartMs
    do {
      const to = Math.min(untilMs, start + minuteMs)
      this.momentsOf(start).take(at, to - from, from === at, corrected, flags, dilution)
      from = to
      start += minuteMs
    } while (from < untilMs)
  }

  private momentsOf(startMs: number): ZeroMoments {
    const known = this.open.get(startMs)
    if (known) return known
    const made = new ZeroMoments(startMs, this.groups)
    this.open.set(startMs, made)
    return made
  }

  /** A minute is finished; the accumulator is only lent. */
  minute(startMs: number, total: Accumulator): void {
    this.held.push({ startMs, total: total.copy(), moments: this.open.get(startMs) ?? null })
    this.open.delete(startMs)
    while (this.held.length * minuteMs > longestHoldMs) {
      const oldest = this.held.shift()
      if (!oldest) return
      const endMs = oldest.startMs + minuteMs
      this.tellUnfollowed(oldest.startMs, endMs, [])
      this.context.trace?.zerosUnfollowed(this.stream, endMs)
      this.feed(oldest)
      this.knownMs = Math.max(this.knownMs, startMs + minuteMs)
    }
  }

  /** The next zeros are known, on the stream's clock at `nowMs`: what waited for them stands. `fromMs`: the purge's start. */
  zeros(changes: readonly ZeroChange[], fromMs: number, nowMs: number): void {
    const lines = new Map<number, ZeroLine>()
    for (const { channel, before, after } of changes) {
      const difference = after.value - before.value
      if (Number.isNaN(difference) || !this.context.drift.limit.isCorrected(channel, difference)) continue
      const ms = after.middleMs - before.middleMs
      if (ms > 0) lines.set(channel, { fromMs: before.middleMs, perMs: difference / ms })
    }
    const first = this.held[0]?.startMs ?? Number.POSITIVE_INFINITY
    this.tellUnfollowed(
      first,
      fromMs,
      changes.map(({ channel }) => channel),
    )
    if (this.context.zeroPlan.interpolates)
      this.context.trace?.zerosKnown(
        this.stream,
        lines,
        changes.map(({ channel }) => channel),
      )
    for (const minute of this.held.splice(0)) {
      if (minute.moments) this.correct(minute.moments, lines)
      this.feed(minute)
    }
    // What an open minute holds from before these zeros is done with, corrected or not: the next ones must not reach it.
    for (const moments of this.open.values()) this.correct(moments, lines)
    this.knownMs = nowMs
  }

  /** Of channels with a zero before and none after: the last one was held. */
  private tellUnfollowed(fromMs: number, toMs: number, followed: readonly number[]): void {
    if (!this.context.zeroPlan.interpolates) return
    for (const channel of this.zeroed)
      if (!followed.includes(channel) && !Number.isNaN(this.context.zeros.value[channel] as number))
        this.context.drift.journal.note({ channel, fromMs, toMs, reason: 'zero_not_followed' })
  }

  private correct(moments: ZeroMoments, lines: ReadonlyMap<number, ZeroLine>): void {
    moments.correct((channel) => this.slope(channel, moments.startMs, lines))
  }

  private slope(channel: number, startMs: number, lines: ReadonlyMap<number, ZeroLine>): Slope {
    let constant = 0
    let perMs = 0
    for (const part of this.context.zeroPlan.parts(channel)) {
      const line = lines.get(part.channel)
      if (!line) continue
      const weight = part.factor * this.spanFactor(part.channel, startMs) * line.perMs
      constant += weight * (startMs - line.fromMs)
      perMs += weight
    }
    return { constant, perMs }
  }

  private spanFactor(channel: number, startMs: number): number {
    return this.context.spans.factorAt(channel, startMs) ?? this.channels.get(channel)?.spanFactor ?? 1
  }

  private feed({ startMs, total, moments }: HeldMinute): void {
    this.groups.forEach(({ group }, place) => {
      const shift = moments?.shift[place]
      const points = moments?.pointsOf(place)
      const lane = total.laneStart[group] as number
      shift?.forEach((by, next) => {
        total.integral[lane + next] = (total.integral[lane + next] as number) + by
      })
      if (!points) return
      total.centre[group] = points.centre
      total.squares[group] = points.squares
      total.minimum[group] = points.minimum
      total.maximum[group] = points.maximum
    })
    this.settled.at(startMs).merge(total, 0)
    this.fedToMs = startMs + minuteMs
  }

  /** When final rows fall due: as late as they would without waiting, and not before what they waited for was known. */
  nextDueMs(): number {
    const due = this.settled.dueMs
    return due <= this.fedToMs + this.finalAfterMs ? Math.max(due, this.knownMs) : Number.POSITIVE_INFINITY
  }

  advance(toMs: number): readonly DueRows[] {
    return this.settled.advance(Math.min(toMs, this.fedToMs + this.finalAfterMs))
  }

  /** The run ends: what still waits is final with the last zero. */
  end(endMs: number): DueRows[] {
    this.tellUnfollowed(this.held[0]?.startMs ?? Number.POSITIVE_INFINITY, endMs, [])
    for (const minute of this.held.splice(0)) this.feed(minute)
    this.open.clear()
    return this.settled.end(endMs)
  }
}
