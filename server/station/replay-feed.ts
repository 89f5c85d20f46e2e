import { setImmediate as nextTurn } from 'node:timers/promises'
import type { ClientMessage, SnapshotMessage } from '../../protocols/live/messages.ts'
import { type Amendments, noAmendments } from '../engine/amendments.ts'
import type { RecordedEvent, TimeEvent } from '../engine/events.ts'
import { withPassingTime } from '../engine/passing-time.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { amendmentsOf } from '../engine/told-amendments.ts'
import type { Feed, Unnumbered as Increment } from '../http/station-face.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { Followers } from './followers.ts'
import { LiveView } from './live-view.ts'
import { stationFromSettings } from './recorded-settings.ts'
import { RunEngines } from './run-engines.ts'

const tickMs = 100
/** At most so many inputs are worked through in one turn, so that other viewers and the recording are not held up. */
const inputsPerTurn = 4000
/** An hour in which nothing comes brings a row of each average a minute: as much work as so many inputs. */
const inputsPerHour = 1000

/** A recording played back for one viewer, on the same screens and by the same engine as live. */
export class ReplayFeed implements Feed {
  private readonly id: string
  private readonly reader: RecordingReader
  private readonly station: StationFile
  private readonly startMs: number
  private readonly endMs: number
  private readonly followers = new Followers()
  readonly follow = this.followers.follow
  readonly onRenewed = this.followers.onRenewed
  private events: Generator<RecordedEvent | TimeEvent>
  private next: RecordedEvent | TimeEvent | null = null
  private amendments: Amendments = noAmendments
  private engines: RunEngines
  private view: LiveView
  private atMs: number
  private playing = false
  private speed = 60
  private sequence = 0
  private seeks = 0
  private isSeeking = false
  private isClosed = false
  private timer: NodeJS.Timeout

  /** A recording as it stands at its end. `gone`: the way there, which through a month takes half a minute, is no longer of use. */
  static async open(id: string, path: string, gone?: AbortSignal): Promise<ReplayFeed> {
    const feed = new ReplayFeed(id, path)
    const close = (): void => feed.close()
    if (gone?.aborted) close()
    gone?.addEventListener('abort', close)
    if (!feed.isClosed) await feed.seek(feed.endMs)
    gone?.removeEventListener('abort', close)
    return feed
  }

  private constructor(id: string, path: string) {
    this.id = id
    this.reader = openRecording(path)
    this.station = stationFromSettings(this.reader.header.settings)
    const { firstMs, lastMs } = this.reader.extent()
    this.startMs = firstMs ?? this.reader.header.madeMs
    this.endMs = lastMs ?? this.startMs
    this.atMs = this.startMs
    this.events = withPassingTime(this.reader.inputs())
    this.engines = this.freshEngines()
    this.view = this.freshView()
    this.timer = setInterval(() => this.tick(), tickMs)
  }

  private freshEngines(): RunEngines {
    this.amendments = amendmentsOf(this.reader.changes())
    return new RunEngines(this.station, { listening: true, amendments: this.amendments })
  }

  private freshView(): LiveView {
    const { header } = this.reader
    return new LiveView(this.station, this.engines.lived, {
      mode: 'replay',
      invented: header.invented,
      now: () => this.atMs,
      speed: () => this.speed,
      warnings: () => [],
      playback: () => this.playback(),
      inForce: () => this.engines.inForce,
      exclusions: () => this.amendments.exclusions,
      run: () => this.run(),
      recording: () => ({
        state: 'stopped',
        storedUpToMs: this.endMs,
        waiting: 0,
        bytes: 0,
        detail: 'a replay: nothing is recorded',
        hoursLeft: null,
      }),
    })
  }

  private playback(): NonNullable<SnapshotMessage['playback']> {
    return {
      recording: this.id,
      atMs: this.atMs,
      startMs: this.startMs,
      endMs: this.endMs,
      playing: this.playing,
      speed: this.speed,
      recordedSpeed: this.engines.lived.context.speed,
    }
  }

  private run(): SnapshotMessage['run'] {
    const { run } = this.engines.lived.context
    const start = Number.isNaN(run.startMs) ? null : run.startMs
    const [number, of] = this.reader.header.numberOfRuns
    return {
      recording: this.id,
      name: this.reader.header.runName,
      state: run.isOn ? 'running' : 'ended',
      startMs: start,
      plannedMs: null,
      endMs: this.endMs,
      elapsedMs: start === null ? 0 : Math.max(0, this.atMs - start),
      countedMs: run.countedMs,
      endRule: null,
      number,
      of,
    }
  }

  /** Feeds the engine up to `toMs`, at most what one turn may take; returns whether it got there. */
  private advance(toMs: number): boolean {
    for (let taken = 0; taken < inputsPerTurn; ) {
      this.next ??= this.events.next().value ?? null
      if (!this.next || this.next.atMs > toMs) {
        // What has fallen due since the last input stood on the screens by then.
        this.take({ kind: 'time', atMs: toMs, monotonicMs: 0 })
        return true
      }
      taken += this.next.kind === 'time' ? inputsPerHour : 1
      this.take(this.next)
      this.next = null
    }
    return false
  }

  private take(event: RecordedEvent | TimeEvent): void {
    this.sequence++
    const outputs = this.engines.step(event)
    const told: Increment[] = []
    if (event.kind === 'time') this.view.takeOutputs(outputs, this.isSeeking ? null : told)
    else if (this.isSeeking) this.view.pass(event, outputs)
    else told.push(...this.view.take(event, outputs))
    this.followers.tell(told)
  }

  private tick(): void {
    if (!this.playing || this.isSeeking) return
    const target = Math.min(this.endMs, this.atMs + tickMs * this.speed)
    if (this.advance(target)) this.atMs = target
    else this.atMs = Math.max(this.atMs, this.engines.lived.context.nowMs)
    if (this.atMs >= this.endMs) this.playing = false
    this.followers.tell([this.view.running(), { type: 'playback', playback: this.playback() }])
  }

  /** Works up to the instant in slices, so that the live station keeps its turn; viewers get the picture when it stands. */
  async seek(toMs: number): Promise<void> {
    const target = Math.min(this.endMs, Math.max(this.startMs, toMs))
    const number = ++this.seeks
    this.isSeeking = true
    if (target < this.atMs || this.sequence === 0) {
      this.events = withPassingTime(this.reader.inputs())
      this.next = null
      this.engines = this.freshEngines()
      this.view = this.freshView()
    }
    // Already now: a play that follows a seek goes on from there.
    this.atMs = target
    while (!this.advance(target)) {
      await nextTurn()
      if (number !== this.seeks) return
    }
    this.isSeeking = false
    this.followers.renew()
  }

  snapshot(): Omit<SnapshotMessage, 'sequence'> {
    return this.view.snapshot()
  }

  control(message: ClientMessage): void {
    if (message.type === 'seek') {
      void this.seek(message.atMs)
      return
    }
    if (message.type === 'play') {
      this.speed = message.speed
      this.playing = true
      if (this.atMs >= this.endMs) void this.seek(this.startMs)
    }
    if (message.type === 'pause') this.playing = false
    this.followers.tell([{ type: 'playback', playback: this.playback() }])
  }

  close(): void {
    this.isClosed = true
    this.seeks++
    clearInterval(this.timer)
    this.reader.close()
  }
}
