import { setTimeout as sleep } from 'node:timers/promises'
import type { SnapshotMessage } from '../../protocols/live/messages.ts'
import type { EngineEvent, OperatorEvent, RecordedEvent } from '../engine/events.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine, type EngineState } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { isAmendment } from '../engine/told-amendments.ts'
import type { Unnumbered as Increment } from '../http/station-face.ts'
import type { Derived, RecordingWriter, Unnumbered } from '../recording/recording.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'
import { type AmendmentFollower, RunAmendments } from './amendments/run-amendments.ts'
import { CatchingUp } from './catching-up.ts'
import { derivedRows, TraceMinutes } from './derived-rows.ts'
import { LiveView, type ViewSurroundings } from './live-view.ts'
import { mostWaiting } from './most-waiting.ts'
import { RowsAhead } from './rows-ahead.ts'

/** So long is waited for the averages that an amendment changes; of weeks they may take longer. */
const amendmentsWaitMs = 20_000
/** How often it is asked whether a disk that takes nothing does so again, ms. */
const roomEveryMs = 250

/** One recording being written, the engine over it, and the picture of it. Record first, interpret second. */
export class RecordedRun {
  readonly writer: RecordingWriter
  readonly view: LiveView
  readonly trace: TraceMinutes
  readonly standby: boolean
  private readonly engine: EngineState
  private readonly amendments: RunAmendments
  private trouble: string | null = null
  /** Closed, it takes no more inputs. */
  isOpen = true
  private startMs = Number.NaN
  private lost = 0
  private newestCheckNumber = 0
  private readonly rowsAhead: RowsAhead
  /** While what was recorded before goes through the engine anew; inputs are recorded meanwhile. */
  private catchingUp: CatchingUp | null = null
  private caughtUp: Promise<boolean> = Promise.resolve(true)

  constructor(
    station: StationFile,
    writer: RecordingWriter,
    standby: boolean,
    around: Omit<ViewSurroundings, 'recording' | 'inForce' | 'exclusions'>,
    follower: Pick<AmendmentFollower, 'warn'> & { renewed(): void },
  ) {
    this.writer = writer
    this.standby = standby
    this.engine = createEngine(station, { listening: true })
    this.trace = new TraceMinutes(station)
    this.rowsAhead = new RowsAhead(writer, () => this.trouble !== null)
    this.amendments = new RunAmendments(station, writer, this.rowsAhead, {
      warn: (text) => follower.warn(text),
      changed: ({ blocks, rolling }) => {
        this.view.showAverages(blocks, rolling)
        follower.renewed()
      },
    })
    this.view = new LiveView(station, this.engine, {
      ...around,
      recording: () => this.recordingState(),
      inForce: () => this.amendments.inForce,
      exclusions: () => this.amendments.exclusions,
    })
    writer.onChange((change) => {
      this.trouble = change.kind === 'trouble' ? change.detail : change.kind === 'recovered' ? null : this.trouble
    })
  }

  /**
   * What was recorded before the station went down goes through the engine again, and what it gives is stored anew. First, while
   * what was derived stands beside its inputs and no others, it is noted what the newest amendment changed in it; when that is
   * done the call resolves, and inputs are taken. `goneOver` resolves when the engine has worked through them too; false: it was
   * stopped before. `progress` is told how many inputs are done, of how many.
   */
  async goOn(
    reader: RecordingReader,
    progress: (done: number, inAll: number) => void = () => {},
  ): Promise<{ readonly goneOver: Promise<boolean> }> {
    this.writer.deriveAnew(await this.amendments.known(reader))
    this.catchingUp = new CatchingUp()
    this.caughtUp = this.goOver(reader, this.catchingUp, progress)
    return { goneOver: this.caughtUp }
  }

  private goOver(
    reader: RecordingReader,
    catchingUp: CatchingUp,
    progress: (done: number, inAll: number) => void,
  ): Promise<boolean> {
    const upTo = this.writer.storedUpTo().sequence
    return catchingUp.through(reader, upTo, {
      take: (event) => {
        const outputs = this.step(event)
        this.store(outputs, event.atMs)
        if (event.kind === 'time') return this.view.takeOutputs(outputs, null)
        if (event.kind === 'run' && event.change === 'start') this.startMs = event.atMs
        this.view.pass(event, outputs)
      },
      pause: (done) => {
        progress(done, upTo)
        return this.rowsAhead.pause()
      },
      arrive: () => {
        this.writer.derivedWhole()
        this.catchingUp = null
      },
    })
  }

  /** Ends a going over where it is: what is missing then is formed when the run goes on again. */
  stopGoingOver(): void {
    this.catchingUp?.stop()
  }

  /** The rule of the run's end was met, maybe while the station was down. */
  get endIsDue(): boolean {
    return this.catchingUp === null && this.engine.context.run.isOn && this.engine.context.run.isDue
  }

  /**
   * Whether a source that can wait may bring more; where not, it resolves when it is worth asking again. While the disk takes
   * nothing, the queue takes as much as it can: lines that are waiting at the instrument nobody sees.
   */
  async hasRoom(): Promise<boolean> {
    if (this.catchingUp !== null && this.catchingUp.held > mostWaiting) {
      const isOver = await this.caughtUp.catch(() => false)
      if (!isOver) await sleep(roomEveryMs)
    } else if (this.trouble === null && this.writer.storedUpTo().waiting > mostWaiting)
      await this.writer.flush().catch(() => {})
    else if (this.writer.isNearlyFull) await sleep(roomEveryMs)
    else return true
    return false
  }

  /** The time at which a check is told, ms, or the next number where another one was told in the same millisecond. */
  nextCheckNumber(atMs: number): number {
    this.newestCheckNumber = Math.max(atMs, this.newestCheckNumber + 1)
    return this.newestCheckNumber
  }

  /** Inputs came that could not even wait to be recorded; what comes next says how many. */
  lose(inputs: number): void {
    this.lost += inputs
  }

  /** Records an input, lets the engine take it, and tells what screens hear of it. */
  take(input: Unnumbered): { readonly outputs: readonly EngineOutput[]; readonly told: Increment[] } {
    const sequence = this.writer.append(input)
    if (sequence === 0) {
      // Nothing can be stored and the queue is full: an input that is not in the recording must not reach the engine either.
      this.lost++
      return { outputs: [], told: [] }
    }
    if (this.lost > 0) return this.tellLoss(input, sequence)
    return this.takeStored(input, sequence)
  }

  /** Inputs came while nothing could be stored; the recording says so before it goes on. */
  private tellLoss(input: Unnumbered, sequence: number): ReturnType<RecordedRun['takeStored']> {
    const { lost } = this
    this.lost = 0
    const taken = this.takeStored(input, sequence)
    const loss = this.take({
      kind: 'operator',
      by: 'station',
      atMs: input.atMs,
      monotonicMs: input.monotonicMs,
      action: {
        do: 'note',
        text: `${lost} inputs could not be recorded: the disk was full or failing`,
        pressedMs: input.atMs,
      },
    })
    return { outputs: [...taken.outputs, ...loss.outputs], told: [...taken.told, ...loss.told] }
  }

  private takeStored(
    input: Unnumbered,
    sequence: number,
  ): { readonly outputs: readonly EngineOutput[]; readonly told: Increment[] } {
    const event = (input.kind === 'line' ? { ...input, sequence } : input) as RecordedEvent
    if (this.catchingUp !== null) {
      this.catchingUp.hold(event)
      return { outputs: [], told: [] }
    }
    if (event.kind === 'run' && event.change === 'start') this.startMs = event.atMs
    const outputs = this.step(event)
    this.store(outputs, event.atMs)
    if (isAmendment(event)) this.amendments.take(event as OperatorEvent, sequence)
    return { outputs, told: this.view.take(event, outputs) }
  }

  private step(event: EngineEvent): readonly EngineOutput[] {
    return this.amendments.outputs(event, step(this.engine, event)[1])
  }

  /** Time passes; not recorded, since it changes no output. */
  pass(atMs: number, monotonicMs: number): { readonly outputs: readonly EngineOutput[]; readonly told: Increment[] } {
    if (this.catchingUp !== null) return { outputs: [], told: [] }
    const outputs = this.step({ kind: 'time', atMs, monotonicMs })
    const told: Increment[] = []
    if (outputs.length > 0) {
      this.store(outputs, atMs)
      this.view.takeOutputs(outputs, told)
    }
    return { outputs, told }
  }

  private store(outputs: readonly EngineOutput[], atMs: number): void {
    if (outputs.length === 0) return
    const rows: Derived[] = derivedRows(outputs, this.trace, atMs)
    if (rows.length === 0) return
    this.rowsAhead.give(rows.length)
    this.writer.derive(rows)
  }

  get countedMs(): number {
    return this.engine.context.run.countedMs
  }

  get startedMs(): number | null {
    return Number.isNaN(this.startMs) ? null : this.startMs
  }

  /** Streams whose newest line is older than what counts as silence. */
  staleStreams(nowMs: number): string[] {
    return this.engine.streams
      .filter((stream) => !(nowMs - stream.lastArrivalMs <= stream.health.silentAfterMs()))
      .map(({ settings }) => settings.id)
  }

  hasAlarm(id: string): boolean {
    return this.engine.context.alarms.standing().some(({ alarm }) => alarm === id)
  }

  lineCounts(): { readonly stream: string; readonly lines: number; readonly refused: number }[] {
    return this.engine.streams.map((stream) => ({
      stream: stream.settings.id,
      lines: stream.lines,
      refused: [...stream.refused.byReason.values()].reduce((sum, count) => sum + count, 0),
    }))
  }

  recordingState(): SnapshotMessage['recording'] {
    const { atMs, waiting, bytes } = this.writer.storedUpTo()
    const state = this.trouble ? 'stopped' : this.standby ? 'standby' : waiting > 500 ? 'behind' : 'recording'
    return { state, storedUpToMs: atMs, waiting, bytes, detail: this.trouble ?? '', hoursLeft: null }
  }

  /**
   * Resolves when all that was given so far can be read in the recording. Where the disk takes nothing, what it took before is
   * what can be read; the recording's state says so.
   */
  async readable(): Promise<void> {
    await this.writer.flush().catch(() => {})
  }

  /** The same, with the averages that an amendment changes: until then the recording holds what was, beside what amends it. */
  async readableAsAmended(): Promise<void> {
    const late = new AbortController()
    await Promise.race([
      this.amendments.formed(),
      sleep(amendmentsWaitMs, null, { signal: late.signal }).catch(() => {}),
    ])
    late.abort()
    await this.readable()
  }

  /** It is closed, and no other recording can be opened: what the screens and the station's health say until one is. */
  isLeftBehind(why: string): void {
    this.trouble = `no recording can be opened: ${why}`
  }

  /** `amendmentsMs`: how long averages are waited for that an amendment changes. */
  async close(amendmentsMs = Number.POSITIVE_INFINITY): Promise<void> {
    await this.amendments.settled(amendmentsMs)
    this.isOpen = false
    this.writer.derive(this.trace.rest())
    await this.writer.close()
  }
}
