import { compileProfile } from '../../protocols/instrument/compile-profile.ts'
import type { LineProfile } from '../../protocols/instrument/profile.ts'
import type { LineOutcome, LineReader, Piece } from '../../protocols/instrument/reader.ts'
import { countFlag } from '../../protocols/words/count-flags.ts'
import { channelsOfReadingLimits, ReadingLimits } from './alarms/reading-limits.ts'
import { StreamHealth } from './alarms/stream-health.ts'
import { StreamAverages } from './averaging/stream-averages.ts'
import { type MappedChannel, mapChannels, slowestT95Ms } from './channel-map.ts'
import type { EngineContext } from './context.ts'
import type { CrossSensitivity } from './corrections/cross-sensitivity.ts'
import { Dilution } from './corrections/dilution.ts'
import type { LineEvent, LinkEvent } from './events.ts'
import { LineAdmission } from './line-admission.ts'
import { LiveReadings } from './live-reading.ts'
import type { NoticeCode } from './outputs.ts'
import { PendingReadings } from './pending.ts'
import { PhaseEvidence } from './phases/evidence.ts'
import { rulesOfStream, SignalRecogniser } from './phases/from-signal.ts'
import { StatusTeller } from './phases/from-status.ts'
import { PhaseCursor } from './phases/phase-cursor.ts'
import { RefusedLines } from './refused-lines.ts'
import type { StreamSettings } from './settings/station-file.ts'
import { SourceClock } from './source-clock.ts'
import { correctReading, takeFields, withoutDilution } from './stream-readings.ts'

/** A reading represents time up to the next line where that comes within this many steps (docs/calculations.md). */
const gapSteps = 1.5
/** One stream from its lines to its averages. Two clocks: the station's, and the one that keys its readings. */
export class Stream {
  readonly settings: StreamSettings
  readonly channels: readonly MappedChannel[]
  readonly reader: LineReader
  readonly live: PhaseCursor
  readonly health: StreamHealth
  readonly averages: StreamAverages
  readonly refused: RefusedLines
  lines = 0
  /** Station time of the newest line; NaN before the first. */
  lastArrivalMs = Number.NaN
  /** Station time from which the next line is awaited: the newest line's, or that of a change of the clock's speed. */
  private expectedFromMs = Number.NaN
  /** Station time up to which the newest values hold for other streams; Infinity where there are none. */
  private heldUntilMs = Number.POSITIVE_INFINITY
  /** Key time of the newest reading; NaN before the first. */
  newestMs = Number.NaN

  private readonly context: EngineContext
  private readonly expectMs: number
  private readonly byLine: boolean
  /** Alarms on this stream's own clock: when they next do something by themselves. */
  private readonly axis: { readonly nextDueMs: number }
  /** Place of the channel that tells the plant's state; −1 where none of this stream does. */
  private readonly plantChannel: number
  private readonly dilution: Dilution
  /** How far readings lie before the event that brings them: a step where stamps stand at the end. */
  private readonly shiftMs: number
  private readonly holdBackMs: number
  private readonly pending: PendingReadings
  private readonly admission: LineAdmission
  /** Null where the lines' own time keys the readings: then nothing is held against it. */
  private readonly sourceClock: SourceClock | null
  private readonly status: StatusTeller
  private readonly evidence: PhaseEvidence
  private readonly signal: SignalRecogniser | null
  private readonly cross: CrossSensitivity | null
  private readonly limits: ReadingLimits
  /** Channels whose corrected value somebody looks at as soon as its line comes: viewers, limits of readings. */
  private readonly lookedAt: readonly MappedChannel[]
  private readonly flagsOut: Uint8Array
  private readonly liveReadings: LiveReadings
  private suppressed = false
  private conflict: string | null = null
  /** The line that was read ahead, and what became of it. */
  private aheadBytes: Uint8Array | null = null
  private ahead: LineOutcome = { ok: true }
  private awaitingFirstOfRun = false

  constructor(context: EngineContext, settings: StreamSettings, unendedCounts: boolean) {
    const { station, raw, plant } = context
    this.context = context
    this.settings = settings
    this.reader = compileProfile(settings.profile as LineProfile, {
      stationZone: station.station.timeZone,
      unendedCounts,
    })
    this.channels = mapChannels(station, settings.id, this.reader)
    this.cross = context.cross.get(settings.id) ?? null
    this.expectMs = settings.expectEverySeconds * 1000
    this.byLine = settings.timeFrom === 'line'
    const notice = (code: NoticeCode, atMs: number, text: string) => this.notice(code, atMs, text)
    this.dilution = new Dilution(settings, notice)
    this.sourceClock = this.byLine ? null : new SourceClock(gapSteps * this.expectMs, notice)
    this.axis = context.alarms.axis(settings.id)
    this.shiftMs = settings.stamp === 'end' ? this.expectMs : 0
    this.admission = new LineAdmission(this.byLine, this.shiftMs, this.expectMs)
    const { signal } = station.phases
    const recognises = signal !== undefined && station.phases.from.includes('signal')
    const slowest = slowestT95Ms(station, settings.id)
    // The line that ends a dwell may come up to a gap's length after it: only then can nothing more be back-dated.
    this.holdBackMs = recognises ? signal.dwellSeconds * 1000 + slowest + gapSteps * this.expectMs : 0
    const indexOf = (id: string) => station.channels.findIndex((channel) => channel.id === id)
    const isOwn = (channel: string) => this.channels.some(({ settings: { id } }) => id === channel)
    this.signal = recognises ? new SignalRecogniser(signal, rulesOfStream(signal, isOwn), indexOf, slowest) : null
    this.pending = new PendingReadings(raw.length, this.holdBackMs, gapSteps * this.expectMs)
    this.flagsOut = new Uint8Array(raw.length)
    this.evidence = new PhaseEvidence(station.phases, context.clockGrid)
    const longestWait = Math.max(0, ...this.channels.map(({ waitMs }) => waitMs))
    this.live = new PhaseCursor(this.evidence, longestWait)
    this.liveReadings = new LiveReadings(context, settings.id, this.channels, this.live)
    this.averages = new StreamAverages(
      context,
      settings.id,
      this.channels,
      new PhaseCursor(this.evidence, longestWait),
      longestWait,
      Math.max(gapSteps * this.expectMs, this.holdBackMs),
    )
    this.status = new StatusTeller(this.evidence, plant, station.phases.faultsThatStop, notice)
    const { plantState } = station
    this.plantChannel =
      plantState.from === 'signal'
        ? (this.channels.find(({ settings: { id } }) => id === plantState.channel)?.index ?? -1)
        : -1
    this.limits = new ReadingLimits(context, settings.id, this.channels)
    const limited = channelsOfReadingLimits(context)
    this.lookedAt =
      context.listening || this.cross ? this.channels : this.channels.filter(({ index }) => limited.has(index))
    this.health = new StreamHealth(context, settings)
    this.refused = new RefusedLines(context, settings.id, this.health)
  }

  get followsArrival(): boolean {
    return !this.byLine
  }

  /**
   * When something falls due on the station's clock by itself; where that is after `toMs`, any instant after it. A stream
   * keyed by its lines waits for them, unless it has fallen silent.
   */
  stationDueMs(toMs: number): number {
    if (!this.byLine) return this.dueMs() + this.shiftMs
    if (this.context.speed !== 1 || Number.isNaN(this.newestMs)) return Number.POSITIVE_INFINITY
    const silentMs = this.expectedFromMs + this.health.silentAfterMs()
    return silentMs > toMs ? silentMs : Math.max(silentMs, this.dueMs() - this.newestMs + this.expectedFromMs)
  }

  /** Lets the station's clock pass to `stationMs`: for this stream's own clock. */
  passStationTime(stationMs: number): void {
    if (this.followsArrival) this.passTime(stationMs - this.shiftMs)
    else if (!Number.isNaN(this.newestMs)) this.passTime(this.newestMs + stationMs - this.expectedFromMs)
  }

  private dueMs(): number {
    return Math.min(this.pending.dueMs, this.averages.nextDueMs(), this.axis.nextDueMs, this.scheduleDueMs)
  }

  private scheduleDueMs = Number.POSITIVE_INFINITY

  /** Fires what is due on this stream's clock up to `toMs`, in order of time. */
  passTime(toMs: number): void {
    for (;;) {
      const release = this.pending.dueMs
      const rows = this.averages.nextDueMs()
      const alarm = this.axis.nextDueMs
      const due = Math.min(release, rows, alarm, this.scheduleDueMs)
      if (due > toMs) break
      this.averages.axisMs = due
      if (due === this.scheduleDueMs) this.scheduleDueMs = this.evidence.followSchedule(due)
      else if (due === release) this.release()
      else if (due === rows) this.averages.publish(due)
      else this.context.alarms.advance(this.settings.id, due)
    }
    this.averages.axisMs = toMs
  }

  private release(): void {
    const { pending } = this
    pending.take(this.averages.raw, this.flagsOut)
    const at = pending.takenMs
    const gapFollows = Number.isNaN(pending.takenUntilMs)
    const until = gapFollows ? at + this.expectMs : pending.takenUntilMs
    this.context.trace?.released(this.settings.id)
    this.averages.take(at, until, gapFollows, this.flagsOut, pending.takenFactor)
    this.evidence.forget(at)
  }

  /** The station's clock has another speed: what passed on it before says nothing of how long a line is overdue. */
  speedChanged(speed: number, stationMs: number): void {
    this.expectedFromMs = stationMs
    this.health.speed(speed, stationMs)
  }

  /** What other streams see of this one ends where it has fallen silent: a flow that nobody tells supports no reading. */
  forgetStale(stationMs: number): void {
    if (stationMs <= this.heldUntilMs) return
    this.heldUntilMs = Number.POSITIVE_INFINITY
    const { raw, corrected, flags } = this.context
    for (const { index } of this.channels) {
      raw[index] = Number.NaN
      corrected[index] = Number.NaN
      flags[index] = countFlag.missing
    }
  }

  takeLink(event: LinkEvent): void {
    if (event.state === 'open') this.admission.reconnected()
    this.health.link(event)
  }

  /**
   * Reads the line that comes next before it arrives, for whoever needs its own time to say when that is; `reader.content` holds
   * it. `takeLine` then does not read it again. `atMs`: as in the event that will bring it, where the reader dates by arrival.
   */
  readAhead(bytes: Uint8Array, atMs: number, piece: Piece): LineOutcome {
    this.aheadBytes = bytes
    this.ahead = this.reader.read(bytes, atMs, piece)
    return this.ahead
  }

  private outcomeOf(event: LineEvent): LineOutcome {
    if (this.aheadBytes === null) return this.reader.read(event.bytes, event.atMs, event.piece)
    if (this.aheadBytes !== event.bytes) throw new Error('a line was read ahead, and another one came')
    this.aheadBytes = null
    return this.ahead
  }

  takeLine(event: LineEvent): void {
    this.lines++
    const outcome = this.outcomeOf(event)
    this.lastArrivalMs = event.atMs
    this.expectedFromMs = event.atMs
    const { content } = this.reader
    if (outcome.ok && this.byLine && this.isStatusAlone()) {
      this.takeStatusAlone(event.atMs)
      return
    }
    const refusal = outcome.ok
      ? this.admission.refusalOf(event.bytes, content.lineTimeMs, this.newestMs, this.averages.openFromMs())
      : outcome
    if (refusal !== null) {
      this.refused.take(event, refusal)
      return
    }
    const at = (this.byLine ? content.lineTimeMs : event.atMs) - this.shiftMs
    this.sourceClock?.take(content.lineTimeMs, event.atMs)
    const { isFaulty } = this.health
    this.health.read(content, event.atMs)
    if (this.awaitingFirstOfRun) this.beginRun(at)
    this.meetPrevious(at)
    this.passTime(at)
    this.newestMs = at
    this.takeReading(event, isFaulty)
  }

  /** Whether the line that was read is nothing but a status and tells no time, and there is a reading that it can follow. */
  private isStatusAlone(): boolean {
    const { status, lineTimeMs } = this.reader.content
    return status.length > 0 && Number.isNaN(lineTimeMs) && !Number.isNaN(this.newestMs)
  }

  /** Such a line brings no reading; where lines' own time keys them, its words hold from the newest on, as an operator's mark does. */
  private takeStatusAlone(atMs: number): void {
    const { status } = this.reader.content
    this.health.read(this.reader.content, atMs)
    this.status.take(status, this.health.faults(), this.newestMs)
    if (this.live.moveTo(this.newestMs)) this.phaseTurned(this.newestMs)
  }

  /** The line in the reader's content, at the newest time. `wasFaulty`: whether a fault stood before it. */
  private takeReading(event: LineEvent, wasFaulty: boolean): void {
    const { context, newestMs: at } = this
    const { content } = this.reader
    this.heldUntilMs = event.atMs + this.health.silentAfterMs()
    takeFields(this.channels, content, context.raw, context.flags)
    this.dilution.take(content.dilutionFactor, at)
    const dilution = this.dilution.factor
    if (Number.isNaN(dilution)) withoutDilution(this.channels, context.flags)
    this.cross?.invalidate(context.flags)
    if (content.status.length > 0 || wasFaulty) this.status.take(content.status, this.health.faults(), at)
    if (this.signal) this.recognise(at)
    if (this.plantChannel >= 0) context.plant.signal(context.raw[this.plantChannel] as number, at)
    if (this.scheduleDueMs === Number.POSITIVE_INFINITY) this.scheduleDueMs = this.evidence.followSchedule(at)
    correctReading(this.lookedAt, context.raw, context.zeros.value, dilution, context.corrected)
    this.cross?.apply(context.corrected)
    if (this.live.moveTo(at)) this.phaseTurned(at)
    if (context.run.isOn) this.limits.take(this.live, at)
    this.pending.push(at, context.raw, context.run.isOn ? context.flags : this.outsideRun(), dilution)
    context.trace?.arrived(this.settings.id, event.sequence)
    if (context.listening) context.outputs.push(this.liveReadings.reading(at, event.sequence))
  }

  /** The reading before this one represents time up to it, unless a gap lies between. */
  private meetPrevious(at: number): void {
    if (Number.isNaN(this.newestMs)) return
    const step = at - this.newestMs
    if (step <= gapSteps * this.expectMs) this.pending.endNewest(at)
    else if (this.context.run.isOn) this.noticeGap(at, step)
  }

  private noticeGap(at: number, stepMs: number): void {
    this.notice('gap', at, `no line for ${Math.round((stepMs - this.expectMs) / 1000)} s`)
  }

  private outsideRun(): Uint8Array {
    return this.flagsOut.fill(countFlag.noRun)
  }

  private recognise(at: number): void {
    const change = this.signal?.take(this.context.raw, at)
    if (!change) return
    const phase = change.holds ? (this.context.station.phases.signal?.phase ?? 'purge') : null
    this.evidence.tell('signal', change.onsetMs, phase)
    this.context.alarms.withdraw(this.settings.id, change.onsetMs)
  }

  private phaseTurned(at: number): void {
    const measuring = this.live.phase === 'measure'
    if (measuring === this.suppressed) {
      if (measuring) this.context.alarms.releaseLimits(this.settings.id, at)
      else this.context.alarms.suppressLimits(this.settings.id, at)
      this.suppressed = !measuring
    }
    const stationMs = this.followsArrival ? at : this.lastArrivalMs
    this.health.phase(this.live.phase, this.followsArrival ? this.live.startMs : stationMs, stationMs)
    const conflict = this.evidence.conflict(at)
    if (conflict && conflict !== this.conflict) this.notice('phase_conflict', at, conflict)
    this.conflict = conflict
  }

  /** What the operator says now, on the clock that keys this stream's readings: for lines with their own time, that of the newest. */
  keyMs(stationMs: number): number {
    return this.followsArrival || Number.isNaN(this.newestMs) ? stationMs : this.newestMs
  }

  /** An operator's mark; it holds from the newest reading's time on. */
  mark(phase: Parameters<PhaseEvidence['tell']>[2], stationMs: number): void {
    const at = this.keyMs(stationMs)
    this.evidence.tell('operator', at, phase)
    if (!Number.isNaN(this.newestMs) && this.live.moveTo(Math.max(at, this.newestMs))) this.phaseTurned(at)
  }

  startRun(stationMs: number): void {
    this.awaitingFirstOfRun = true
    if (this.followsArrival) this.beginRun(stationMs)
  }

  private beginRun(at: number): void {
    this.awaitingFirstOfRun = false
    this.drain()
    this.averages.startRun(at)
    this.live.restart()
    this.suppressed = false
    this.health.startRun(this.followsArrival ? at : this.lastArrivalMs)
  }

  /** Returns where the run ends on the clock that keys the readings; null where that is the lines' own and none came. */
  endRun(stationMs: number): number | null {
    const endMs = this.followsArrival ? stationMs : this.newestMs + this.expectMs
    if (this.followsArrival) this.passTime(stationMs - this.shiftMs)
    this.pending.endNewest(
      this.followsArrival ? Math.min(stationMs, this.newestMs + this.expectMs) : this.newestMs + this.expectMs,
    )
    this.drain()
    this.health.endRun(stationMs)
    this.averages.endRun(endMs)
    this.awaitingFirstOfRun = false
    return Number.isNaN(endMs) ? null : endMs
  }

  /** Everything that waits is averaged as it stands. */
  private drain(): void {
    while (this.pending.size > 0) this.release()
  }

  nextScheduled(): ReturnType<PhaseEvidence['nextScheduled']> {
    return this.evidence.nextScheduled()
  }

  private notice(code: NoticeCode, atMs: number, text: string): void {
    this.context.outputs.push({ kind: 'notice', code, stream: this.settings.id, channel: null, atMs, text })
  }
}
