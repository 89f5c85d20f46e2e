import type { LineProfile } from '../../../protocols/instrument/profile.ts'
import {
  isSignOfTrouble,
  type LineContent,
  type Piece,
  type RefusalReason,
} from '../../../protocols/instrument/reader.ts'
import type { InstrumentFault, Phase } from '../../../protocols/words/phases.ts'
import type { EngineContext } from '../context.ts'
import type { LinkEvent } from '../events.ts'
import type { HealthCause, StreamSettings } from '../settings/station-file.ts'
import { FaultWatch } from './fault-watch.ts'
import { LinkWatch } from './link-watch.ts'
import { PurgeWatch } from './purge-watch.ts'
import { silentAfterMs } from './silence.ts'
import { UnparsableRate } from './unparsable-rate.ts'

/** All that watches the health of one stream, on the station's clock. Never suppressed by a phase (data-handling rule AL-8). */
export class StreamHealth {
  private readonly settings: StreamSettings
  private readonly linkWatch: LinkWatch
  private readonly purgeWatch: PurgeWatch
  private readonly rate: UnparsableRate
  private readonly faultWatch: FaultWatch
  private silentMs: number

  constructor(context: EngineContext, settings: StreamSettings) {
    const tell = (cause: HealthCause, isActive: boolean, atMs: number) =>
      context.alarms.condition(cause, settings.id, isActive, atMs)
    this.silentMs = silentAfterMs(settings.expectEverySeconds, context.speed)
    this.settings = settings
    this.linkWatch = new LinkWatch(settings.expectEverySeconds, context.speed, tell)
    this.purgeWatch = new PurgeWatch(context.station.phases.purge, context.speed, tell)
    this.rate = new UnparsableRate(context.station.unparsable.perMinute, tell)
    this.faultWatch = new FaultWatch(settings.profile as LineProfile, tell)
  }

  nextDueMs(): number {
    return Math.min(this.linkWatch.nextDueMs, this.purgeWatch.nextDueMs, this.rate.nextDueMs)
  }

  advance(toMs: number): void {
    this.linkWatch.advance(toMs)
    this.purgeWatch.advance(toMs)
    this.rate.advance(toMs)
  }

  silentAfterMs(): number {
    return this.silentMs
  }

  start(atMs: number): void {
    this.linkWatch.start(atMs)
  }

  startRun(atMs: number): void {
    this.purgeWatch.start(atMs)
  }

  endRun(atMs: number): void {
    this.purgeWatch.stop(atMs)
  }

  link(event: LinkEvent): void {
    this.linkWatch.link(event.state, event.atMs)
  }

  speed(speed: number, atMs: number): void {
    this.silentMs = silentAfterMs(this.settings.expectEverySeconds, speed)
    this.linkWatch.speed(speed, atMs)
    this.purgeWatch.speed(speed, atMs)
  }

  refused(reason: RefusalReason, piece: Piece, atMs: number): void {
    const isTrouble = isSignOfTrouble(reason, piece)
    this.linkWatch.line(!isTrouble && piece !== 'first', atMs)
    if (isTrouble) this.rate.refused(atMs)
  }

  /** A line that was read; what the instrument tells of itself. */
  read(content: LineContent, atMs: number): void {
    this.linkWatch.line(true, atMs)
    this.faultWatch.line(content, atMs)
  }

  phase(phase: Phase, sinceMs: number, atMs: number): void {
    this.purgeWatch.phase(phase, sinceMs, atMs)
  }

  get isFaulty(): boolean {
    return this.faultWatch.isFaulty
  }

  faults(): readonly InstrumentFault[] {
    return this.faultWatch.standing()
  }
}
