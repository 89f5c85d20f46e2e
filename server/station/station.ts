import type { ActionRequest, RunRequest } from '../../protocols/live/requests.ts'
import { type StationClock, watchClock } from '../clock.ts'
import { engineVersion } from '../engine/engine-version.ts'
import type { OperatorAction } from '../engine/events.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Feed, Unnumbered as Increment, Outcome } from '../http/station-face.ts'
import { lockDataFolder } from '../recording/data-folder-lock.ts'
import { newRecordingPath } from '../recording/file-name.ts'
import type { Unnumbered } from '../recording/recording.ts'
import { openRecording, type RecordingReader } from '../recording/recording-reader.ts'
import { createRecording, resumeRecording } from '../recording/recording-writer.ts'
import type { Source, SourceEvent } from '../sources/source.ts'
import { type LeftRun, leftRun } from './left-run.ts'
import { RecordedRun } from './recorded-run.ts'
import { settingsBesideSources, stationFromSettings } from './recorded-settings.ts'
import { RunControl } from './run-control.ts'
import { sourcesOf } from './station-sources.ts'
import { takenDown } from './taken-down.ts'
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
/** A run of weeks takes a while to go over. */
const progressEveryMs = 10_000
/** An orderly stop must end within seconds. */
const stopWaitMs = 2000

/** Station seconds per real second when the newest input came. */
const lastSpeed = (reader: RecordingReader): number =>
  reader
    .runAndClockChanges()
    .reduce((speed, event) => (event.kind === 'clock' && event.change === 'speed' ? event.speed : speed), 1)

/** A running station: sources, the recording of the present run, the engine over it, and who follows it. */
export class Station {
  readonly options: StationOptions
  readonly runs: RunControl
  private readonly lock: ReturnType<typeof lockDataFolder>
  private readonly followers = new Set<(increment: Increment) => void>()
  private current: RecordedRun | null = null
  private sources: Source[] = []
  /** Inputs that came while one recording was closed and the next one opened. */
  private waiting: Unnumbered[] = []
  private switching: Promise<void> | null = null
  private timers: NodeJS.Timeout[] = []
  private stopWatch: () => void = () => {}
  private warnings: string[] = []

  constructor(options: StationOptions) {
    this.options = options
    this.lock = lockDataFolder(options.folder, options.clock.stationMs())
    this.runs = new RunControl(options.station.run, () => options.clock.stationMs())
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
      setInterval(() => this.tell([this.run.view.running()]), runningMs),
    ]
    // Met while the station was down, no line will say so again.
    if (this.run.endIsDue) this.switchTo(() => this.finish('end-rule', null))
  }

  /** Sources, not opened yet, and the recording; what may be refused comes first, since a run that is begun stays. */
  private async prepared(): Promise<{ readonly goneOver: Promise<unknown> } | null> {
    const { clock, station, folder, log } = this.options
    try {
      const left = leftRun(folder)
      this.sources = await sourcesOf(station, clock, log, () => this.run.hasRoom(), left?.path ?? null)
      if (left) return await this.resume(left)
      if (this.runs.startsAtOnce && !this.options.waits) await this.begin('at-once', null)
      else await this.standBy()
      return null
    } catch (error) {
      await this.closeSources()
      if (this.current === null) this.lock.release()
      throw error
    }
  }

  /** When the change of recordings began that is under way: inputs that wait for its end came later. */
  private switchStamp: { readonly atMs: number; readonly monotonicMs: number } | null = null

  private changeStamp(): { readonly atMs: number; readonly monotonicMs: number } {
    return this.switchStamp ?? this.stamp()
  }

  private stamp(): { readonly atMs: number; readonly monotonicMs: number } {
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
    if (this.switching !== null) {
      this.waiting.push(input)
      return
    }
    const { outputs, told } = this.run.take(input)
    this.tell(told)
    this.answer(outputs)
  }

  /** The station's clock is scaled from here on. */
  speedChanged(speed: number): void {
    this.take({ kind: 'clock', change: 'speed', byMs: 0, speed, ...this.stamp() })
  }

  private tick(): void {
    if (this.switching !== null) return
    const { atMs, monotonicMs } = this.stamp()
    const { outputs, told } = this.run.pass(atMs, monotonicMs)
    this.tell(told)
    this.answer(outputs)
    if (this.run.standby && this.runs.isDue(atMs)) this.switchTo(() => this.begin('planned', null))
  }

  /** The engine said that the run's end rule is met. */
  private answer(outputs: readonly EngineOutput[]): void {
    if (!this.run.standby && outputs.some(({ kind }) => kind === 'run-due'))
      this.switchTo(() => this.finish('end-rule', null))
  }

  private switchTo(change: () => Promise<void>): void {
    if (this.switching !== null) return
    this.switchStamp = this.stamp()
    this.switching = change()
      .catch((error: unknown) =>
        this.warn(`the recording could not be changed: ${error instanceof Error ? error.message : error}`),
      )
      .finally(() => {
        this.switching = null
        this.switchStamp = null
        const waiting = this.waiting
        this.waiting = []
        for (const input of waiting) this.take(input)
        this.tell([this.run.view.running()])
      })
  }

  private warn(text: string): void {
    this.warnings = [...this.warnings.slice(-9), text]
    this.options.log(text)
  }

  private readonly amendmentsHeard = {
    warn: (text: string): void => this.warn(text),
    renewed: (): void => this.followAnew(),
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
      this.current.take({ kind: 'clock', change: 'speed', byMs: 0, speed: clock.speed(), ...this.changeStamp() })
  }

  private async begin(reason: string, by: string | null): Promise<void> {
    const before = this.current
    if (before?.standby) await before.close()
    this.runs.begun()
    await this.open(false)
    this.run.take({ kind: 'run', change: 'start', reason, by, ...this.changeStamp() })
    this.followAnew()
  }

  private async finish(reason: string, by: string | null): Promise<void> {
    const ended = this.run
    const { told } = ended.take({ kind: 'run', change: 'end', reason, by, ...this.changeStamp() })
    this.tell(told)
    await ended.close()
    this.runs.ended()
    if (this.runs.isDue(this.options.clock.stationMs())) {
      await this.begin('next-of-sequence', null)
    } else await this.standBy()
    this.followAnew()
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
      const goingOn = await run.goOn(reader, this.progressTeller())
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

  private progressTeller(): (done: number, inAll: number) => void {
    const { clock, log } = this.options
    let toldMs = clock.monotonicMs()
    return (done, inAll) => {
      const nowMs = clock.monotonicMs()
      if (nowMs - toldMs < progressEveryMs) return
      toldMs = nowMs
      log(
        `its averages are formed anew, ${Math.min(100, Math.floor((100 * done) / inAll))} % so far; lines that come meanwhile are recorded`,
      )
    }
  }

  private tell(increments: readonly Increment[]): void {
    for (const increment of increments) for (const follower of this.followers) follower(increment)
  }

  private readonly anew = new Set<() => void>()
  /** Another recording, another engine: viewers need the whole picture. */
  private followAnew(): void {
    for (const tell of this.anew) tell()
  }

  live(): Feed {
    return {
      snapshot: () => this.run.view.snapshot(),
      follow: (listener) => {
        this.followers.add(listener)
        return () => this.followers.delete(listener)
      },
      onRenewed: (listener) => {
        this.anew.add(listener)
        return () => this.anew.delete(listener)
      },
      control: () => {},
      close: () => {},
    }
  }

  async act(request: ActionRequest): Promise<Outcome> {
    // While runs change there is no recording that would take it.
    while (this.switching !== null) await this.switching
    const at = this.stamp()
    const told = toldAction(request, this.options.station, this.run, at.atMs)
    if (!told.ok) return told
    return takenDown(this.run.writer, () => this.take({ kind: 'operator', by: request.by, ...at, action: told.action }))
  }

  /** An amendment of the run that goes on, checked against the recording; its averages follow as soon as they are formed. */
  amend(action: OperatorAction, by: string): void {
    this.take({ kind: 'operator', by, ...this.stamp(), action })
  }

  async control(request: RunRequest): Promise<Outcome> {
    if (this.switching !== null) await this.switching
    if (request.do === 'end') {
      if (this.run.standby) return { ok: false, status: 409, errors: ['no run is going on'] }
      if (request.note)
        this.take({
          kind: 'operator',
          by: request.by,
          ...this.stamp(),
          action: { do: 'note', text: request.note, pressedMs: this.stamp().atMs },
        })
      this.switchTo(() => this.finish('operator', request.by))
    } else if (request.do === 'cancel-planned') {
      if (!this.runs.cancel()) return { ok: false, status: 409, errors: ['no run is planned'] }
    } else {
      if (this.run.standby) this.runs.plan(request)
      else if (request.at) this.runs.planNext(request)
      else return refused('a run is going on: end it first, or give the next one a time')
      if (this.run.standby && this.runs.isDue(this.options.clock.stationMs()))
        this.switchTo(() => this.begin('operator', request.by))
    }
    if (this.switching !== null) await this.switching
    return { ok: true }
  }

  private async closeSources(): Promise<void> {
    await Promise.all(this.sources.map((source) => source.close()))
  }

  /** Orderly stop: the run is suspended, not ended; sources first, the recording last. */
  async stop(): Promise<void> {
    for (const timer of this.timers) clearInterval(timer)
    this.stopWatch()
    // A catching up that ends now would still be taken down, while the recording closes.
    this.options.clock.stop()
    await this.closeSources()
    if (this.switching !== null) await this.switching
    if (!this.run.standby)
      this.run.take({ kind: 'run', change: 'suspend', reason: 'orderly-stop', by: null, ...this.stamp() })
    try {
      await this.run.close(stopWaitMs)
    } finally {
      this.lock.release()
    }
  }
}
