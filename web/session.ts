// First, wherever a bundler puts this module: the schemas below must find the policy set.
import '../protocols/live/strict-policy.ts'
import type { AmendAnswer } from '../protocols/live/amend.ts'
import { type ClientMessage, explainFaults, type LiveMessage, liveMessage } from '../protocols/live/messages.ts'
import { Connection } from './connection.ts'
import { DrawGate } from './draw-gate.ts'
import { askAfterMs, deadAfterMs, freshForMs, isSilenceDue } from './freshness.ts'
import { stationTime } from './page-clock.ts'
import { RecentReadings } from './recent-readings.ts'
import { plainRoute, type Route, readRoute, routeHash } from './route.ts'
import { firstView, logbookFromMs, stepView, type ViewInput, type ViewState } from './store.ts'
import { TrendFeed } from './trend-feed.ts'
import { windowAt } from './window.ts'

const resyncEveryMs = 2000
const trendsEveryMs = 1500
const renewEveryMs = 600_000
/** How long an unreadable server is left alone before it is asked again. */
const unreadableRestMs = 30_000

/** The message, or in one line what is wrong with it. */
function readMessage(text: string): LiveMessage | string {
  try {
    const parsed = liveMessage.safeParse(JSON.parse(text))
    return parsed.success ? parsed.data : (explainFaults(parsed.error)[0] ?? 'not a message')
  } catch {
    return 'not JSON'
  }
}

/** The page's one link to the station: messages go into the state, the state to whoever draws. */
export class Session {
  state: ViewState = firstView(performance.now())
  route: Route = readRoute(location.hash)
  readonly feed = new TrendFeed(() => this.gate.request())
  readonly recent = new RecentReadings()
  /** The average that the running block and the steps in the trends are of; empty: as the limits tell. */
  average = ''
  trendPixels = 800
  /** What came of the newest amendment that this page told of what it shows. */
  lastAmended: AmendAnswer | null = null
  /** How often this page told one. */
  amendedTimes = 0
  private readonly gate: DrawGate
  private connection: Connection
  private resyncMs = Number.NEGATIVE_INFINITY
  /** An address that stands for what is shown already and has still to be written. */
  private addressDue: string | null = null
  private trendKey = ''
  private trendMs = Number.NEGATIVE_INFINITY

  /** `heard`: at every message, also while the page is hidden. */
  constructor(
    private readonly draw: () => void,
    private readonly heard: (state: ViewState) => void,
  ) {
    this.gate = new DrawGate(
      () => this.drawAll(),
      () => this.returned(),
    )
    this.connection = this.connect()
    window.addEventListener('hashchange', () => this.routeChanged())
    window.addEventListener('online', () => this.connection.wake())
  }

  private connect(): Connection {
    const replay = this.route.replay
    const address = () => {
      const url = new URL('api/live', location.href)
      url.protocol = url.protocol === 'https:' ? 'wss:' : 'ws:'
      url.hash = ''
      url.search = replay === null ? '' : `?${new URLSearchParams({ replay })}`
      return url.href
    }
    return new Connection({
      address,
      onText: (text) => this.received(text),
      onLink: (link) => this.take({ kind: 'link', link }),
    })
  }

  private received(text: string): void {
    const pageMs = performance.now()
    const message = readMessage(text)
    if (typeof message === 'string') {
      this.take({ kind: 'unreadable', detail: message, pageMs })
      return
    }
    this.take({ kind: 'message', message, pageMs })
    if (message.type === 'reading') this.recent.push(message.reading)
    // A page that has just come knows the newest reading of each stream all the same.
    else if (message.type === 'snapshot') for (const reading of message.readings) this.recent.push(reading)
    if (message.type === 'reading' && this.route.replay === null) {
      const { fromMs } = windowAt(this.route.window, this.state.station?.run.startMs ?? null, this.now())
      this.feed.add(message.reading, this.route.window.kind !== 'fixed', fromMs)
    }
    if (this.state.hole) this.resync(this.state.unreadable === null ? resyncEveryMs : unreadableRestMs)
  }

  private take(input: ViewInput): void {
    this.state = stepView(this.state, input)
    this.heard(this.state)
    this.gate.request()
  }

  private resync(everyMs: number): void {
    const pageMs = performance.now()
    if (pageMs - this.resyncMs < everyMs) return
    this.resyncMs = pageMs
    this.send({ type: 'resync', lastSequence: Math.max(0, this.state.sequence) })
  }

  /** A silent line is asked for a word, then given up: only a page that is looked at does so, at each draw. */
  private lookAfterLine(): void {
    const { link, heardMs } = this.state
    if (link.state !== 'open' || isSilenceDue(this.state)) return
    const silentMs = performance.now() - Math.max(heardMs ?? link.sinceMs, link.sinceMs)
    if (silentMs > deadAfterMs) this.connection.restart()
    else if (silentMs > askAfterMs) this.resync(resyncEveryMs)
  }

  private drawAll(): number {
    this.writeAddress()
    this.lookAfterLine()
    this.askTrends()
    this.draw()
    return freshForMs(this.state, performance.now())
  }

  private returned(): void {
    this.connection?.wake()
  }

  private routeChanged(): void {
    if (this.addressDue !== null) return
    const before = this.route.replay
    this.route = readRoute(location.hash)
    if (this.route.replay !== before) this.begin()
    this.gate.request()
  }
  private begin(): void {
    this.lastAmended = null
    this.connection.close()
    this.state = firstView(performance.now())
    this.feed.histories.clear()
    this.feed.flags = []
    this.connection = this.connect()
  }

  /** What is shown was amended: a playback knew the run as it was before, and begins anew. The running station tells by itself. */
  amended(done: AmendAnswer): void {
    if (this.route.replay !== null) this.begin()
    this.lastAmended = done
    this.amendedTimes++
    this.gate.request()
  }

  /** Asks for the stretch shown when it, or what is known of it, changed. */
  private askTrends(): void {
    const { station, trendBreaks } = this.state
    if (!station || station.streams.length === 0 || this.route.view !== 'watch') return
    const { trendValue } = this.route
    const nowMs = this.now()
    const shown = windowAt(this.route.window, station.run.startMs, nowMs)
    const span = shown.toMs - shown.fromMs
    // Playback loads ahead of its own time and is drawn only up to it; a live station has no time ahead.
    const endMs = station.playback
      ? Math.min(
          station.playback.endMs,
          this.route.window.kind === 'now' ? (Math.floor(nowMs / span) + 2) * span : shown.toMs + span,
        )
      : nowMs
    const ahead = station.playback && this.route.window.kind === 'now' ? endMs : 0
    // What follows along is asked for anew now and then: block means of hours ago are kept by the station alone.
    const renewal = this.route.window.kind === 'fixed' ? 0 : Math.floor(nowMs / Math.max(span / 2, renewEveryMs))
    const toldFromMs = logbookFromMs(station)
    const key = [
      station.run.recording,
      routeHash({ ...plainRoute, window: this.route.window, trendValue }),
      this.shownAverage,
      trendBreaks,
      Math.ceil(this.trendPixels / 300),
      ahead,
      renewal,
      // A note may be told long after what it is about: the flags that were asked for lack it.
      shown.fromMs < toldFromMs && `${toldFromMs} ${station.logbook.findLast(({ atMs }) => atMs < toldFromMs)?.id}`,
    ].join('|')
    const pageMs = performance.now()
    if (
      key === this.trendKey ||
      (pageMs - this.trendMs < trendsEveryMs &&
        key.split('|')[1] === this.trendKey.split('|')[1] &&
        this.trendKey !== '')
    )
      return
    this.trendKey = key
    this.trendMs = pageMs
    void this.feed.ask(station, {
      recording: this.route.replay,
      fromMs: shown.fromMs,
      toMs: Math.max(
        shown.fromMs + 1000,
        Math.min(this.route.window.kind === 'now' && station.playback ? endMs : shown.toMs, endMs),
      ),
      value: trendValue,
      average: this.shownAverage,
      pixels: this.trendPixels,
      toldFromMs,
    })
  }

  /** The block that the limits are set for, unless another was chosen. */
  get shownAverage(): string {
    const station = this.state.station
    return (
      this.average ||
      station?.limits.find(
        ({ of, average }) => of === 'block' && average !== null && station.averages.blocks.includes(average),
      )?.average ||
      station?.averages.blocks.at(-1) ||
      'PT30M'
    )
  }

  /** The station's time now, or that of the playback. */
  now(): number {
    return this.state.clock ? stationTime(this.state.clock, performance.now()) : Date.now()
  }

  /** Changes the address, and with it what is shown. `inPlace`: without a step of its own for the back button. */
  go(to: Partial<Route>, inPlace = false): void {
    const route = { ...this.route, ...to }
    const hash = routeHash(route)
    if (hash === location.hash) return
    // The address tells of its change later; a gesture that goes on must start from here. Another recording is another line.
    if (route.replay === this.route.replay) this.route = route
    if (inPlace) {
      // Fingers ask a hundred times a second; a browser refuses so many addresses. It is written when it is drawn.
      this.addressDue = hash
      this.gate.request()
    } else {
      this.addressDue = null
      location.hash = hash
    }
  }
  private writeAddress(): void {
    const hash = this.addressDue
    this.addressDue = null
    if (hash !== null && hash !== location.hash) location.replace(hash)
  }

  send(message: ClientMessage): void {
    this.connection.send(message)
  }

  redraw(): void {
    this.gate.request()
  }
}
