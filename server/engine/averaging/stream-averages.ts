import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase } from '../../../protocols/words/phases.ts'
import type { MappedChannel } from '../channel-map.ts'
import type { EngineContext } from '../context.ts'
import type { PhaseCursor } from '../phases/phase-cursor.ts'
import { correctReading } from '../stream-readings.ts'
import { remark } from './accumulator.ts'
import { partOf } from './average-part.ts'
import type { AverageSet, DueRows } from './average-set.ts'
import type { Group } from './average-values.ts'
import { OutlookWatch } from './outlook-watch.ts'
import { streamSet } from './station-averages.ts'

/** The settled side of a stream: readings come once their phase and what they represent are known, and are averaged. */
export class StreamAverages {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly channels: readonly MappedChannel[]
  private readonly cursor: PhaseCursor
  private readonly longestWaitMs: number
  private readonly finalAfterMs: number
  private readonly corrected: Float64Array
  private readonly outlook: OutlookWatch
  private set: AverageSet | null = null
  private spanReadings = 0
  /** Now, on the stream's clock. */
  axisMs = Number.NEGATIVE_INFINITY
  private spanOpen = false
  private openSpan: { phase: Phase; startMs: number; cause: PhaseCursor['cause'] } | null = null
  private readonly channelIndexes: readonly number[]

  constructor(
    context: EngineContext,
    stream: string,
    channels: readonly MappedChannel[],
    cursor: PhaseCursor,
    longestWaitMs: number,
    finalAfterMs: number,
  ) {
    this.context = context
    this.stream = stream
    this.channels = channels
    this.channelIndexes = channels.map(({ index }) => index)
    this.cursor = cursor
    this.longestWaitMs = longestWaitMs
    this.finalAfterMs = finalAfterMs
    this.outlook = new OutlookWatch(context, stream, partOf(context.averagePlan, stream).values)
    this.corrected = new Float64Array(context.raw.length)
  }

  nextDueMs(): number {
    return this.set?.nextDueMs() ?? Number.POSITIVE_INFINITY
  }

  /** Readings before this instant come too late to be averaged. */
  openFromMs(): number {
    return this.set?.openMinuteStartMs ?? Number.NEGATIVE_INFINITY
  }

  openRows(): ReturnType<AverageSet['openRows']> {
    return this.set?.openRows() ?? []
  }

  startRun(at: number): void {
    this.set = streamSet(this.context, this.stream, at, this.finalAfterMs, (set) =>
      this.outlook.minute(set, this.countsAgainMs(), this.axisMs),
    )
    this.set.at(at)
    this.cursor.restart()
  }

  endRun(at: number): void {
    if (!this.set) return
    this.closeSpan(at)
    this.closeZero(at) // A purge that the run's end cuts off must not be mixed into the next one.
    this.put(this.set.end(at), at)
    this.set = null
  }

  publish(dueMs: number): void {
    if (this.set) this.put(this.set.advance(dueMs), dueMs)
  }

  /** Rows and what rests on them: limits of means are held against valid ones only. */
  private put(due: readonly DueRows[], atMs: number): void {
    for (const { kind, rows, dueMs } of due) {
      for (const row of rows) this.context.outputs.push({ kind, row })
      this.context.meanLimits.take(kind, rows, Math.min(dueMs, atMs))
    }
  }

  /**
   * One reading. `untilMs`: end of what it represents, cut here at phase edges. `values`, `flags`: by the station's
   * channel index; `flags` is changed in place to what decides.
   */
  take(
    at: number,
    untilMs: number,
    gapFollows: boolean,
    values: Float64Array,
    flags: Uint8Array,
    dilution: number,
  ): void {
    const { set, cursor, context, channels } = this
    // A stamp at the end of its step can bring a reading of the time before the run.
    if (!set || at < set.runStartMs) return
    const before = cursor.phase
    if (cursor.moveTo(at)) this.turn(before)
    this.spanReadings++
    const until = Math.min(untilMs, cursor.toldUntilMs(), context.plant.nextChange(at))
    const phase = cursor.phase
    const told = phase === 'measure' || phase === 'settle'
    const running = context.plant.counts(at)
    context.exclusions?.mark(at, this.channelIndexes, flags)
    const minute = set.at(at)
    set.closeGap(at)
    if (phase === 'fault') minute.remarks |= remark.instrumentFault
    if (phase === 'zero' || phase === 'span' || (phase === 'purge' && context.purgeIsQualityAssurance))
      minute.qualityAssurance = true
    if (phase === 'purge' || phase === 'zero') this.takeZero(at, values, flags)
    if (told && running) {
      correctReading(channels, values, context.zeros.value, dilution, this.corrected)
      const { measureFromMs } = cursor
      let lacksZero = false
      for (let next = 0; next < channels.length; next++) {
        const channel = channels[next] as MappedChannel
        if (flags[channel.index] === countFlag.counts && at < measureFromMs + channel.waitMs)
          flags[channel.index] = countFlag.settling
        lacksZero ||= context.zeroed[channel.index] === 1 && Number.isNaN(context.zeros.value[channel.index] as number)
      }
      if (lacksZero) minute.remarks |= remark.noZeroYet
      this.average(set, at, until, values, flags)
      if (at >= measureFromMs + this.longestWaitMs) this.count(until - at, until)
    }
    context.trace?.reading({
      stream: this.stream,
      atMs: at,
      untilMs: until,
      phase,
      plant: context.plant.at(at),
      raw: values,
      corrected: this.corrected,
      flags,
      isMeasured: told && running,
      dilution,
    })
    if (gapFollows) set.openGap(untilMs)
  }

  /** When readings count again, as far as is known: after settling. While another phase holds, nobody knows. */
  private countsAgainMs(): number {
    return this.cursor.phase === 'settle' ? this.cursor.settledMs() : Number.NEGATIVE_INFINITY
  }

  outlooks(): OutlookWatch['outlooks'] {
    return this.set ? this.outlook.outlooks : []
  }

  private count(ms: number, untilMs: number): void {
    const { run } = this.context
    if (this.stream !== this.context.station.streams[0]?.id) return
    run.countedMs += ms
    const { end } = this.context.station.run
    if (end && 'afterCountedMinutes' in end && !run.isDue && run.countedMs >= end.afterCountedMinutes * 60_000) {
      run.isDue = true
      this.context.outputs.push({ kind: 'run-due', atMs: untilMs, rule: 'counted-minutes' })
    }
  }

  private average(set: AverageSet, at: number, until: number, values: Float64Array, flags: Uint8Array): void {
    const { trace } = this.context
    let from = at
    // A reading that the next one follows at once represents no time, and counts all the same.
    do {
      const minute = set.at(from)
      const to = Math.min(until, set.openMinuteEndMs)
      const { groups } = set
      for (let index = 0; index < groups.length; index++) {
        const group = groups[index] as Group
        if (!countTogether(group, flags)) continue
        const lane = minute.laneStart[index] as number
        const first = this.lane(group, 0, values)
        if (Number.isNaN(first)) continue
        minute.weightMs[index] = (minute.weightMs[index] as number) + to - from
        minute.integral[lane] = (minute.integral[lane] as number) + first * (to - from)
        for (let next = 1; next < group.lanes.length; next++)
          minute.integral[lane + next] =
            (minute.integral[lane + next] as number) + this.lane(group, next, values) * (to - from)
        if (from === at) minute.addPoint(index, first, at)
        if (trace?.follows(group))
          trace.entered(
            group,
            from,
            to,
            group.lanes.map((_, next) => this.lane(group, next, values)),
          )
      }
      from = to
    } while (from < until)
  }

  private lane(group: Group, number: number, values: Float64Array): number {
    const lane = group.lanes[number] as Group['lanes'][number]
    if (lane.from !== 'converted') return (lane.from === 'raw' ? values : this.corrected)[lane.channel] as number
    const value = this.context.plan.values[lane.value] as (typeof this.context.plan.values)[number]
    return value.convert(value.inputs.map((input) => this.corrected[input] as number))
  }

  private takeZero(at: number, values: Float64Array, flags: Uint8Array): void {
    for (const channel of this.channels) {
      if (
        channel.field >= 0 &&
        channel.settings.species &&
        flags[channel.index] === countFlag.counts &&
        at >= this.cursor.startMs + channel.waitMs
      ) {
        this.context.zeros.add(channel.index, values[channel.index] as number)
        this.context.trace?.zeroReading(channel.index, values[channel.index] as number)
      }
    }
  }

  private turn(before: Phase): void {
    const { context, cursor } = this
    if (this.spanOpen) this.closeSpan(cursor.startMs)
    if (before === 'purge' || before === 'zero') this.closeZero(cursor.startMs)
    this.openSpan = { phase: cursor.phase, startMs: cursor.startMs, cause: cursor.cause }
    this.spanOpen = true
    this.spanReadings = 0
    context.outputs.push({
      kind: 'phase-span',
      stream: this.stream,
      ...this.openSpan,
      endMs: null,
      inferred: cursor.cause === 'signal',
      readings: 0,
    })
  }

  private closeZero(atMs: number): void {
    const { context } = this
    for (const { channel, mean, standardDeviation, count } of context.zeros.close(this.channelIndexes)) {
      context.trace?.zeroTaken(channel, atMs, mean, standardDeviation, context.zeroed[channel] === 1)
      context.outputs.push({
        kind: 'zero',
        channel: context.station.channels[channel]?.id ?? '',
        atMs,
        mean,
        standardDeviation,
        count,
        used: context.zeroed[channel] === 1,
      })
    }
  }

  private closeSpan(endMs: number): void {
    if (!this.spanOpen || !this.openSpan) return
    this.spanOpen = false
    this.context.outputs.push({
      kind: 'phase-span',
      stream: this.stream,
      ...this.openSpan,
      endMs,
      inferred: this.openSpan.cause === 'signal',
      readings: this.spanReadings,
    })
  }
}

function countTogether(group: Group, flags: Uint8Array): boolean {
  const { needs } = group
  for (let next = 0; next < needs.length; next++) if (flags[needs[next] as number] !== countFlag.counts) return false
  return true
}
