import { stationClock } from '../clock.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import type { Feed, StationFace } from '../http/station-face.ts'
import { Followers } from './followers.ts'
import { leftRun } from './left-run.ts'
import { HeldLines } from './set-up/held-lines.ts'
import { Station } from './station.ts'
import { stationFace } from './station-face.ts'
import { waitingFace } from './waiting-face.ts'

export interface StationHostOptions {
  readonly folder: string
  readonly log: (text: string) => void
  /** The process is to end: a start that takes long does then. */
  readonly halt?: AbortSignal
}

const lookEveryMs = 500

/** When a change of the settings holds: a run keeps those that it began with. */
export type Applies = 'now' | 'next-run'

/**
 * One station after another under the same address: none before an instrument is set up, another one when the station
 * file was changed. Viewers stay; they are shown the new picture. At most one station holds the data folder at a time.
 */
export class StationHost {
  readonly face: StationFace
  private readonly options: StationHostOptions
  private readonly waiting: StationFace
  private readonly followers = new Followers()
  private station: Station | null = null
  private inner: StationFace
  private unfollow: () => void = () => {}
  private pending: StationFile | null = null
  private changing: Promise<void> = Promise.resolve()
  private readonly look: NodeJS.Timeout
  /** Lines of the station’s own streams, for whoever sets it up. */
  private held = new Map<string, HeldLines>()

  constructor(options: StationHostOptions) {
    this.options = options
    this.waiting = waitingFace(options.folder)
    this.inner = this.waiting
    this.face = this.delegating()
    this.follow()
    // A run may end by its own rule: what waited for that applies then.
    this.look = setInterval(() => {
      if (this.pending !== null && this.state === 'standby') void this.takeUp(this.pending, false).catch(() => {})
    }, lookEveryMs)
    // A start that fails must not be outlived by a timer.
    this.look.unref()
  }

  get state(): 'waiting' | 'standby' | 'running' {
    if (this.station === null) return 'waiting'
    return this.station.run.standby ? 'standby' : 'running'
  }
  get isPending(): boolean {
    return this.pending !== null
  }
  /** The settings of the station that runs; null before there is one. */
  get settings(): StationFile | null {
    return this.station?.options.station ?? null
  }
  /** Once no change of stations is under way: until then one of them may hold a port that no settings tell. */
  settled(): Promise<void> {
    return this.changing
  }
  heldOf(stream: string): HeldLines | null {
    return this.held.get(stream) ?? null
  }

  /** The first station of this process. `waits`: a run that is not going on is not begun. Throws what the station throws. */
  async begin(station: StationFile, waits = false, notBeforeMs = Number.NEGATIVE_INFINITY): Promise<void> {
    const { folder, log, halt } = this.options
    // A run that goes on keeps its order: at speed, station time was ahead of the wall clock when the station went down.
    const clock = stationClock({
      speed: station.clock.speed,
      notBeforeMs: Math.max(notBeforeMs, leftRun(folder)?.extent.lastMs ?? Number.NEGATIVE_INFINITY),
    })
    this.held = new Map(station.streams.map(({ id }) => [id, new HeldLines()]))
    const next = new Station({
      station,
      folder,
      clock,
      invented: station.streams.some(({ source }) => source.kind === 'simulator'),
      log,
      waits,
      ...(halt ? { halt } : {}),
      heard: (stream, event) => this.held.get(stream)?.take(event),
    })
    await next.start()
    this.station = next
    this.inner = stationFace(next)
    this.follow()
  }

  /** Other settings: at once where no run is going on, else from the next run. */
  async apply(station: StationFile, start: boolean): Promise<Applies> {
    if (this.state === 'running') {
      this.pending = station
      this.followers.renew()
      return 'next-run'
    }
    await this.takeUp(station, start)
    return 'now'
  }

  private takeUp(station: StationFile, start: boolean): Promise<void> {
    this.pending = null
    const change = this.changing.then(async () => {
      const before = this.station
      const notBeforeMs = before?.options.clock.stationMs()
      if (before !== null) {
        this.station = null
        this.inner = this.waiting
        this.follow()
        await before.stop()
      }
      await this.begin(station, !start, notBeforeMs)
    })
    this.changing = change.catch((error: unknown) => {
      this.options.log(`the station could not be started: ${error instanceof Error ? error.message : error}`)
    })
    return change
  }

  async stop(): Promise<void> {
    clearInterval(this.look)
    await this.changing
    this.unfollow()
    await this.station?.stop()
    this.station = null
  }

  private follow(): void {
    this.unfollow()
    const feed = this.inner.live()
    const ends = [
      feed.follow((increment) => this.followers.tell([increment])),
      feed.onRenewed(() => this.followers.renew()),
    ]
    this.unfollow = () => {
      for (const end of ends) end()
      feed.close()
    }
    this.followers.renew()
  }

  private live(): Feed {
    return {
      snapshot: () => {
        const snapshot = this.inner.live().snapshot()
        return this.pending === null
          ? snapshot
          : { ...snapshot, warnings: [...snapshot.warnings, 'the station file was changed: the next run uses it'] }
      },
      follow: this.followers.follow,
      onRenewed: this.followers.onRenewed,
      control: () => {},
      close: () => {},
    }
  }

  private delegating(): StationFace {
    return {
      live: () => this.live(),
      replay: (id, gone) => this.inner.replay(id, gone),
      act: (request) => this.inner.act(request),
      run: (request) => this.inner.run(request),
      health: () => this.inner.health(),
      metrics: () => this.inner.metrics(),
      recordings: () => this.inner.recordings(),
      recordingFile: (id) => this.inner.recordingFile(id),
      takeInRecording: (id, bytes, size) => this.inner.takeInRecording(id, bytes, size),
      removeRecording: (id, by) => this.inner.removeRecording(id, by),
      channels: (id) => this.inner.channels(id),
      blocks: (id, query) => this.inner.blocks(id, query),
      series: (id, query) => this.inner.series(id, query),
      marks: (id, query) => this.inner.marks(id, query),
      logbook: (id, query) => this.inner.logbook(id, query),
      phases: (id, fromMs, toMs) => this.inner.phases(id, fromMs, toMs),
      verify: (id) => this.inner.verify(id),
      explain: (id, query) => this.inner.explain(id, query),
      compare: (id, request) => this.inner.compare(id, request),
      amend: (id, request) => this.inner.amend(id, request),
      amendments: (id) => this.inner.amendments(id),
      test: (ids) => this.inner.test(ids),
      settings: (id) => this.inner.settings(id),
      exportFile: (id, format, decimal) => this.inner.exportFile(id, format, decimal),
    }
  }
}
