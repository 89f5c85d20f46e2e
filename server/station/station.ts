import type { ActionRequest, RunRequest } from '../../protocols/live/requests.ts'
import { type StationClock, watchClock } from '../clock.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { OperatorAction } from '../engine/events.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Feed, Outcome, Refused } from '../http/station-face.ts'
import { lockDataFolder } from '../recording/data-folder-lock.ts'
import { newRecordingPath } from '../recording/file-name.ts'
import type { Unnumbered } from '../recording/recording.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { createRecording, resumeRecording } from '../recording/recording-writer.ts'
import { errorText } from '../recording/trouble.ts'
import type { Source, SourceEvent } from '../sources/source.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { Followers } from './followers.ts'
import { goingOverProgress } from './going-over-progress.ts'
import { type LeftRun, runToGoOnWith } from './left-run.ts'
import { RecordedRun } from './recorded-run.ts'
import { settingsBesideSources, stationFromSettings } from './recorded-settings.ts'
import { type Instant, RecordingChange } from './recording-change.ts'
import { RunControl } from './run-control.ts'
import { RunsToComeFile } from './runs-to-come.ts'
import { sourcesOf } from './station-sources.ts'
import { notStored, takenDown, whileRunChanges, whyNotStored } from './taken-down.ts'
import { refused, toldAction } from './told-action.ts'

export interface StationOptions {
  readonly station: StationFile
  readonly folder: string
  readonly clock: StationClock
  readonly invented: boolean
  readonly log: (text: string) => void
  /** Does not begin a run by itself: the operator starts the next one. A run that was left going goes on. */
  readonly waits?: boolean
  /** Hears what the sources bring, beside the recording. */
  readonly heard?: (stream: string, event: SourceEvent) => void
  /** Ends a start that takes long, since a run of weeks goes on; the station is to be stopped then. */
  readonly halt?: AbortSignal
}

const tickMs = 250
const runningMs = 1000
/** An orderly stop must end within seconds. */
const stopWaitMs = 2000

/** Station seconds per real second when the newest input came. */
const lastSpeed = (reader: RecordingReader): number =>
  reader
    .runAndClockChanges()
    .reduce((speed, event) => (event.kind === 'clock' && event.change === 'speed' ? event.speed : speed), 1)

const notNow = (what: string): Refused =>
  notStored(`${what}: mend that, as by making room on a full disk, then ask again`)
const nowhereToStore = (inputs: number): Trouble =>
  new Trouble(`${inputs} inputs could not be stored: no recording could be opened`, exitStatus.diskFull)

/** A running station: sources, the recording of the present run, the engine over it, and who follows it. */
export class Station {
  readonly options: StationOptions
  readonly runs: RunControl
  private readonly lock: ReturnType<typeof lockDataFolder>
  private readonly followers = new Followers()
  private readonly toCome: RunsToComeFile
  private current: RecordedRun | null = null
  private sources: Source[] = []
  private readonly change = new RecordingChange({
    now: () => this.stamp(),
    isOpen: () => this.run.isOpen,
    standBy: () => this.standBy().then(() => this.followers.renew()),
    stuck: (why) => this.run.isLeftBehind(why),
    take: (input) => this.take(input),
    lose: (inputs) => this.run.lose(inputs),
    changed: () => this.followers.tell([this.run.view.running()]),
    warn: (text) => this.warn(text),
  })
  private timers: NodeJS.Timeout[] = []
  private stopWatch: () => void = () => {}
  private warnings: string[] = []
  private isStopping = false

  constructor(options: StationOptions) {
    this.options = options
    this.lock = lockDataFolder(options.folder, options.clock.stationMs())
    this.runs = new RunControl(options.station.run, () => options.clock.stationMs())
    this.toCome = new RunsToComeFile(options.folder, (text) => this.warn(text))
  }

  /**
   * Goes on with a run that was left going, or begins, and opens the sources. Lines are recorded from then on; of a run that
   * goes on it resolves when the engine has gone over all of it.
   */
  async start(): Promise<void> {
    const { clock, station } = this.options
    const goingOn = await this.prepared()
    this.stopWatch = watchClock(({ change, byMs }) =>
      this.take({ kind: 'clock', change, byMs, speed: clock.speed(), ...this.stamp() }),
    )
    for (const [index, source] of this.sources.entries())
      source.open((event) => this.takeSource(station.streams[index]?.id ?? '', event))
    await goingOn?.goneOver.catch(async (error: unknown) => {
      await this.closeSources()
      throw error
    })
    this.timers = [
      setInterval(() => this.tick(), tickMs),
      setInterval(() => this.followers.tell([this.run.view.running()]), runningMs),
    ]
    // Met while the station was down, no line will say so again.
    this.endWhereDue()
  }

  /** Sources, not opened yet, and the recording; what may be refused comes first, since a run that is begun stays. */
  private async prepared(): Promise<{ readonly goneOver: Promise<unknown> } | null> {
    const { clock, station, folder, log } = this.options
    try {
      const left = runToGoOnWith(folder, clock.stationMs(), log)
      this.toCome.restore(this.runs, left !== null)
      this.sources = await sourcesOf(station, clock, log, () => this.hasRoom(), left?.path ?? null)
      if (left) return await this.resume(left)
      if (this.runs.startsAtOnce && !this.options.waits)
        await this.begin(this.runs.isDue(clock.stationMs()) ? 'planned' : 'at-once', null)
      else await this.standBy()
      return null
    } catch (error) {
      await this.closeSources()
      if (this.current === null) this.lock.release()
      throw error
    }
  }

  /** Resolves when a source that can wait may bring more. */
  private async hasRoom(): Promise<void> {
    while (!this.isStopping) if (await (this.change.isOn ? this.change.hasRoom() : this.run.hasRoom())) return
  }

  private stamp(): Instant {
    return { atMs: this.options.clock.stationMs(), monotonicMs: this.options.clock.monotonicMs() }
  }

  get run(): RecordedRun {
    if (!this.current) throw new Error('the station has no recording open')
    return this.current
  }

  private takeSource(stream: string, event: SourceEvent): void {
    const { atMs, monotonicMs } = event
    this.options.heard?.(stream, event)
    if (event.kind === 'line')
      this.take({ kind: 'line', stream, atMs, monotonicMs, bytes: event.bytes, piece: event.piece })
    else
      this.take({
        kind: 'link',
        stream,
        atMs,
        monotonicMs,
        state: event.state,
        attempt: event.attempt,
        detail: event.detail,
      })
  }

  take(input: Unnumbered): void {
    if (this.change.isOn) {
      this.change.hold(input)
      return
    }
    const { told } = this.run.take(input)
    this.followers.tell(told)
    this.endWhereDue()
  }

  /** The station's clock is scaled from here on. */
  speedChanged(speed: number): void {
    this.take({ kind: 'clock', change: 'speed', byMs: 0, speed, ...this.stamp() })
  }

  private tick(): void {
    if (this.change.isOn) return
    const { atMs, monotonicMs } = this.stamp()
    this.followers.tell(this.run.pass(atMs, monotonicMs).told)
    this.endWhereDue()
    const isDue = this.run.standby && this.runs.isDue(atMs) && this.run.recordingState().state !== 'stopped'
    if (isDue) void this.change.begin(() => this.begin('planned', null))
  }

  /** The run's end rule is met. Where the disk takes nothing the run goes on until it does: its end could not be recorded. */
  private endWhereDue(): void {
    if (this.run.standby || !this.run.endIsDue || this.run.recordingState().state === 'stopped') return
    void this.change.begin(() => this.finish('end-rule', null))
  }

  private warn(text: string): void {
    this.warnings = [...this.warnings.slice(-9), text]
    this.options.log(text)
  }

  private readonly amendmentsHeard = {
    warn: (text: string): void => this.warn(text),
    renewed: (): void => this.followers.renew(),
  }

  private around(invented: boolean) {
    const { clock } = this.options
    return {
      mode: 'live' as const,
      invented,
      now: () => clock.stationMs(),
      speed: () => clock.speed(),
      playback: () => null,
      warnings: () => this.warnings,
      run: () => this.runs.state(this.current),
    }
  }

  /** The settings of the run that is to begin: the station's, with the end rule that was planned. */
  private runSettings(): StationFile {
    const { station } = this.options
    const { end: _, ...run } = station.run
    const { end } = this.runs
    return { ...station, run: end === undefined ? run : { ...run, end } }
  }

  private async open(standby: boolean): Promise<void> {
    const { folder, clock, invented } = this.options
    const madeMs = clock.stationMs()
    const station = this.runSettings()
    const settings = JSON.stringify(station, null, 2)
    const runName = standby ? 'standby' : this.runs.name
    const path = newRecordingPath(folder, { runName, madeMs, standby })
    const writer = await createRecording(path, {
      runName,
      station: station.station.name,
      settings,
      madeMs,
      engineVersion,
      standby,
      invented,
      origin: 'live',
      numberOfRuns: this.runs.numbers,
    })
    this.current = new RecordedRun(station, writer, standby, this.around(invented), this.amendmentsHeard)
    // The engine waits for lines from its first event on, which a run's start is. Outside a run that must be in the recording
    // too: a replay would not know since when the lines were missing.
    if (standby || clock.speed() !== 1)
      this.current.take({ kind: 'clock', change: 'speed', byMs: 0, speed: clock.speed(), ...this.change.instant })
  }

  private async begin(reason: string, by: string | null): Promise<void> {
    const before = this.current
    await before?.writer.flush()
    if (before?.standby) await before.close()
    const takeBack = this.runs.begun()
    await this.open(false).catch((error: unknown) => {
      takeBack()
      throw error
    })
    this.run.take({ kind: 'run', change: 'start', reason, by, ...this.change.instant })
    // What was planned is forgotten only when the disk holds that it has begun.
    if ((await whyNotStored(this.run.writer)) === null) await this.toCome.keep(this.runs)
    this.followers.renew()
  }

  private async finish(reason: string, by: string | null): Promise<void> {
    const ended = this.run
    // What cannot be stored now would be lost as the recording closes.
    await ended.writer.flush()
    const { told } = ended.take({ kind: 'run', change: 'end', reason, by, ...this.change.instant })
    this.followers.tell(told)
    await ended.close().finally(() => this.runs.ended())
    await this.toCome.keep(this.runs)
    const isNextDue = this.runs.isDue(this.options.clock.stationMs())
    // The run has ended, whatever becomes of the next recording.
    await (isNextDue ? this.begin('next-of-sequence', null) : this.standBy()).catch((error: unknown) =>
      this.warn(`the next recording could not be opened: ${errorText(error)}`),
    )
    this.followers.renew()
  }

  private async standBy(): Promise<void> {
    await this.open(true)
  }

  /**
   * A run goes on with the settings that it began with, since its averages must come out the same when recomputed. `goneOver`
   * resolves when the engine has worked through it; what comes until then is recorded.
   */
  private async resume({ path, file, wasKilled }: LeftRun): Promise<{ readonly goneOver: Promise<unknown> }> {
    const { station: asked, invented, clock, log, halt } = this.options
    const reader = openRecording(path)
    try {
      const station = stationFromSettings(reader.header.settings)
      if (settingsBesideSources(station) !== settingsBesideSources(asked))
        this.warn(
          'the station file has changed: this run goes on with the settings that it began with; end it to use the new ones',
        )
      const run = new RecordedRun(
        station,
        await resumeRecording(path),
        false,
        this.around(invented),
        this.amendmentsHeard,
      )
      this.current = run
      this.runs.resumed(reader.header.runName, reader.header.numberOfRuns, station.run.end)
      log(`goes on with the run in ${file}`)
      const recordedSpeed = lastSpeed(reader)
      const goingOn = await run.goOn(reader, goingOverProgress(clock, log))
      const goneOver = goingOn.goneOver.finally(() => reader.close())
      // It is awaited once the sources are open.
      goneOver.catch(() => {})
      halt?.addEventListener('abort', () => run.stopGoingOver())
      if (halt?.aborted) run.stopGoingOver()
      const reason = wasKilled ? 'killed' : 'orderly-stop'
      run.take({ kind: 'run', change: 'resume', reason, by: null, ...this.stamp() })
      if (recordedSpeed !== clock.speed()) this.speedChanged(clock.speed())
      return { goneOver }
    } catch (error) {
      reader.close()
      throw error
    }
  }

  live(): Feed {
    const { follow, onRenewed } = this.followers
    return { snapshot: () => this.run.view.snapshot(), follow, onRenewed, control: () => {}, close: () => {} }
  }

  async act(request: ActionRequest): Promise<Outcome> {
    const refusal = await this.whyNotNow()
    if (refusal) return refusal
    const at = this.stamp()
    const told = toldAction(request, this.options.station, this.run, at.atMs)
    if (!told.ok) return told
    return takenDown(this.run.writer, () => this.take({ kind: 'operator', by: request.by, ...at, action: told.action }))
  }

  /** False while one recording is changed for the next: what is told then is taken by the next. */
  get staysWithRun(): boolean {
    return !this.change.isOn
  }
  /** While one recording is changed for the next, none would take what is told. Resolves to null when that is over, to why not where it takes long. */
  async whyNotNow(): Promise<Refused | null> {
    const state = await this.change.settled()
    if (state === 'over') return null
    return state === 'busy' ? whileRunChanges : notNow('no recording can be opened that would take it')
  }

  /** An amendment of the run that goes on, checked against the recording; its averages follow as soon as they are formed. */
  amend(action: OperatorAction, by: string): void {
    this.take({ kind: 'operator', by, ...this.stamp(), action })
  }

  async control(request: RunRequest): Promise<Outcome> {
    const refusal = await this.whyNotNow()
    if (refusal) return refusal
    if (request.do === 'end') {
      if (this.run.standby) return refused('no run is going on')
      if (request.note)
        this.take({
          kind: 'operator',
          by: request.by,
          ...this.stamp(),
          action: { do: 'note', text: request.note, pressedMs: this.stamp().atMs },
        })
      const trouble = await this.change.begin(() => this.finish('operator', request.by))
      return trouble === null ? { ok: true } : notNow(`the run could not be ended (${trouble})`)
    }
    if (request.do === 'cancel-planned')
      return this.runs.cancel(!this.run.standby) ? this.planned() : refused('no run is planned')
    if (!this.run.standby) {
      if (!request.at) return refused('a run is going on: end it first, or give the next one a time')
      this.runs.planNext(request)
      return this.planned()
    }
    this.runs.plan(request)
    if (!this.runs.isDue(this.options.clock.stationMs())) return this.planned()
    const trouble = await this.change.begin(() => this.begin('operator', request.by))
    if (trouble !== null) return notNow(`the run could not be begun, it begins as soon as it can (${trouble})`)
    const why = await whyNotStored(this.run.writer)
    return why === null
      ? { ok: true }
      : notStored(
          `the run has begun, but its start is not stored yet (${why}). It is stored as soon as that is mended; do not begin it again`,
        )
  }

  private async planned(): Promise<Outcome> {
    const why = await this.toCome.keep(this.runs)
    return why === null ? { ok: true } : notNow(`it holds, but is not stored: forgotten if the station ends (${why})`)
  }

  private async closeSources(): Promise<void> {
    await Promise.all(this.sources.map((source) => source.close()))
  }

  /** Orderly stop: the run is suspended, not ended; sources first, the recording last. */
  async stop(): Promise<void> {
    this.isStopping = true
    for (const timer of this.timers) clearInterval(timer)
    this.stopWatch()
    // A catching up that ends now would still be taken down, while the recording closes.
    this.options.clock.stop()
    await this.closeSources()
    await this.change.end()
    if (this.run.isOpen && !this.run.standby)
      this.run.take({ kind: 'run', change: 'suspend', reason: 'orderly-stop', by: null, ...this.stamp() })
    try {
      if (this.run.isOpen) await this.run.close(stopWaitMs)
      else if (this.change.waits > 0) throw nowhereToStore(this.change.waits)
    } finally {
      this.lock.release()
    }
  }
}
