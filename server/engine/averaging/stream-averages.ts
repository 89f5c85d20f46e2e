import { countFlag } from '../../../protocols/words/count-flags.ts'
import type { Phase } from '../../../protocols/words/phases.ts'
import type { MappedChannel } from '../channel-map.ts'
import type { EngineContext } from '../context.ts'
import { zerosAfter, zerosBefore } from '../corrections/checked-zeros.ts'
import type { CrossSensitivity } from '../corrections/cross-sensitivity.ts'
import { tellsDilution } from '../corrections/diluted.ts'
import { HeldMinutes } from '../corrections/held-minutes.ts'
import { recordPurge } from '../corrections/purge-record.ts'
import type { PhaseCursor } from '../phases/phase-cursor.ts'
import { correctReading } from '../stream-readings.ts'
import type { Tracer } from '../tracing/tracer.ts'
import { type Accumulator, remark } from './accumulator.ts'
import { partOf } from './average-part.ts'
import type { AverageSet, DueRows } from './average-set.ts'
import { GroupIntake } from './group-intake.ts'
import { OutlookWatch } from './outlook-watch.ts'
import { publishRevised, publishRows } from './publish-rows.ts'
import { settledSet, streamSet } from './station-averages.ts'

/** Of this module's own: what belongs to another one is looked up anew each time, here for each reading. */
const { counts, settling } = countFlag

/** The settled side of a stream: readings come once their phase and what they represent are known, and are averaged. */
export class StreamAverages {
  private readonly context: EngineContext
  private readonly stream: string
  private readonly channels: readonly MappedChannel[]
  private readonly cursor: PhaseCursor
  private readonly longestWaitMs: number
  private readonly finalAfterMs: number
  /** Of the reading to be taken next, as read, by the station's channel index. */
  readonly raw: Float64Array
  private readonly corrected: Float64Array
  /** Counted time is that of the station's first stream. */
  private readonly countsTime: boolean
  private readonly countedDueMs: number
  private readonly outlook: OutlookWatch
  private readonly intake: GroupIntake
  /** Channels whose zero a purge tells: gases that are read, not summed up. */
  private readonly zeroTaken: readonly MappedChannel[]
  /** Channels from which a zero is subtracted once there is one. */
  private readonly zeroed: readonly number[]
  private readonly cross: CrossSensitivity | null
  /** Whether each reading brings a dilution factor of its own. */
  private readonly tellsDilution: boolean
  private set: AverageSet | null = null
  /** Minutes that wait for the next zero; null where nothing does. */
  private held: HeldMinutes | null = null
  private spanReadings = 0
  /** The minute whose span factors are in force. */
  private spansOfMs = Number.NaN
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
    const part = partOf(context.averagePlan, stream)
    this.outlook = new OutlookWatch(context, stream, part.values)
    this.intake = new GroupIntake(part.groups, context.plan, context.raw.length, context.trace)
    this.raw = this.intake.raw
    this.corrected = this.intake.corrected
    this.cross = context.cross.get(stream) ?? null
    const { streams, run } = context.station
    this.tellsDilution = streams.some((one) => one.id === stream && tellsDilution(one))
    this.countsTime = stream === streams[0]?.id
    this.countedDueMs =
      run.end && 'afterCountedMinutes' in run.end ? run.end.afterCountedMinutes * 60_000 : Number.POSITIVE_INFINITY
    this.zeroTaken = channels.filter(({ field, settings }) => field >= 0 && settings.species !== undefined)
    this.zeroed = this.channelIndexes.filter((index) => context.zeroed[index] === 1)
  }

  nextDueMs(): number {
    const { set, held } = this
    if (set === null) return Number.POSITIVE_INFINITY
    return held === null ? set.dueMs : Math.min(set.dueMs, held.nextDueMs())
  }

  /** Readings before this instant come too late to be averaged. */
  openFromMs(): number {
    return this.set === null ? Number.NEGATIVE_INFINITY : this.set.openMinuteStartMs
  }

  openRows(): ReturnType<AverageSet['openRows']> {
    return this.set?.openRows() ?? []
  }

  startRun(at: number): void {
    const { context, stream, finalAfterMs } = this
    this.set = streamSet(
      context,
      stream,
      at,
      finalAfterMs,
      (set) => this.outlook.minute(set, this.countsAgainMs(), this.axisMs),
      (startMs, minute) => this.finishMinute(startMs, minute),
    )
    this.held = context.zeroPlan.holds
      ? new HeldMinutes(
          context,
          stream,
          this.channels,
          partOf(context.averagePlan, stream),
          settledSet(context, stream, at, finalAfterMs),
          finalAfterMs,
        )
      : null
    zerosBefore(context, this.channelIndexes, at)
    this.set.at(at)
    this.cursor.restart()
  }

  endRun(at: number): void {
    if (!this.set) return
    this.closeSpan(at)
    const { phase } = this.cursor
    this.closeZero(at, phase === 'zero' ? 'zero' : 'purge') // A purge that the run's end cuts off must not be mixed into the next one.
    this.put(this.set.end(at), at)
    if (this.held) {
      const after = zerosAfter(this.context, this.channelIndexes, at)
      if (after.length > 0) this.held.zeros(after, at, this.axisMs)
      this.putFinal(this.held.end(at))
    }
    this.set = null
    this.held = null
  }

  publish(dueMs: number): void {
    if (this.set) this.put(this.set.advance(dueMs), dueMs)
    if (this.held) this.putFinal(this.held.advance(dueMs))
  }

  private finishMinute(startMs: number, minute: Accumulator): void {
    this.held?.minute(startMs, minute)
  }

  /** Rows that were provisional, told again. Alarms rest on what was known when they were first told. */
  private putFinal(due: readonly DueRows[]): void {
    for (const { kind, rows, dueMs } of due) publishRevised(this.context, kind, rows, dueMs)
  }

  private put(due: readonly DueRows[], atMs: number): void {
    for (const { kind, rows, dueMs } of due) publishRows(this.context, kind, rows, Math.min(dueMs, atMs))
  }

  /**
   * One reading, its values in `raw`. `untilMs`: end of what it represents, cut here at phase edges. `flags`: by the
   * station's channel index; changed in place to what decides.
   */
  take(at: number, untilMs: number, gapFollows: boolean, flags: Uint8Array, dilution: number): void {
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
    if (set.openMinuteStartMs !== this.spansOfMs) {
      this.spansOfMs = set.openMinuteStartMs
      context.spans.moveTo(this.spansOfMs, channels)
    }
    set.closeGap(at)
    if (phase === 'fault') minute.remarks |= remark.instrumentFault
    if (phase === 'zero' || phase === 'span' || (phase === 'purge' && context.purgeIsQualityAssurance))
      minute.qualityAssurance = true
    if (phase === 'purge' || phase === 'zero') this.takeZero(at, flags)
    if (told && running) {
      correctReading(channels, this.raw, context.zeros.value, dilution, this.corrected)
      context.trace?.beforeCross(this.corrected)
      this.cross?.apply(this.corrected)
      const isSettled = at >= cursor.measureFromMs + this.longestWaitMs
      if (!isSettled) this.flagSettling(at, flags)
      if (this.lacksZero()) minute.remarks |= remark.noZeroYet
      if (this.tellsDilution && !Number.isNaN(dilution)) minute.addFactor(dilution * (until - at), until - at)
      this.cross?.invalidate(flags)
      this.held?.reading(set, at, until, this.corrected, flags, dilution)
      this.intake.take(set, at, until, flags)
      if (isSettled) this.count(until - at, until)
    }
    if (context.trace !== null) this.follow(context.trace, at, until, flags, told && running, dilution)
    if (gapFollows) set.openGap(untilMs)
  }

  private follow(
    trace: Tracer,
    atMs: number,
    untilMs: number,
    flags: Uint8Array,
    isMeasured: boolean,
    dilution: number,
  ): void {
    const { stream, raw, corrected, channels, cursor } = this
    const plant = this.context.plant.at(atMs)
    trace.reading({
      stream,
      atMs,
      untilMs,
      phase: cursor.phase,
      plant,
      raw,
      corrected,
      flags,
      isMeasured,
      channels,
      dilution,
    })
  }

  /** Of each channel that waits longer than the gas has been back. */
  private flagSettling(at: number, flags: Uint8Array): void {
    for (const { index, waitMs } of this.channels)
      if (flags[index] === counts && at < this.cursor.measureFromMs + waitMs) flags[index] = settling
  }

  private lacksZero(): boolean {
    const { value } = this.context.zeros
    for (let next = 0; next < this.zeroed.length; next++)
      if (Number.isNaN(value[this.zeroed[next] as number] as number)) return true
    return false
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
    if (!this.countsTime) return
    run.countedMs += ms
    if (run.countedMs >= this.countedDueMs && !run.isDue) {
      run.isDue = true
      this.context.outputs.push({ kind: 'run-due', atMs: untilMs, rule: 'counted-minutes' })
    }
  }

  private takeZero(at: number, flags: Uint8Array): void {
    for (let next = 0; next < this.zeroTaken.length; next++) {
      const channel = this.zeroTaken[next] as MappedChannel
      if (flags[channel.index] === counts && at >= this.cursor.startMs + channel.waitMs) {
        this.context.zeros.add(channel.index, this.raw[channel.index] as number, at)
        this.context.trace?.zeroReading(channel.index, this.raw[channel.index] as number)
      }
    }
  }

  private turn(before: Phase): void {
    const { context, cursor } = this
    if (this.spanOpen) this.closeSpan(cursor.startMs)
    if (before === 'purge' || before === 'zero') this.closeZero(cursor.startMs, before)
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

  private closeZero(endMs: number, phase: 'purge' | 'zero'): void {
    const startMs = this.openSpan?.startMs ?? endMs
    const { stream, channelIndexes: channels } = this
    const changes = recordPurge(this.context, { stream, channels, phase, startMs, endMs })
    if (changes.length > 0) this.held?.zeros(changes, startMs, this.axisMs)
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
