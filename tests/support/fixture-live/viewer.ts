import type { WebSocket } from 'ws'
import {
  clientMessage,
  type IncrementMessage,
  type PhaseSpan,
  type SnapshotMessage,
} from '../../../protocols/live/messages.ts'
import { logbookUpTo } from './happenings.ts'
import { nightStart, phaseAt } from './scenario.ts'
import { type Manual, readingAt, recordingId, runningAt, snapshotAt, spansBetween, streamAt } from './snapshot.ts'

/** An increment without its number. */
type Unnumbered<T> = T extends unknown ? Omit<T, 'sequence'> : never
export type Increment = Unnumbered<IncrementMessage>

/** One page that looks on: live, or with a playback of its own. Numbers its messages by itself. */
export class Viewer {
  private sequence = 0
  /** The number of the last message. */
  get sent(): number {
    return this.sequence
  }
  private playing = true
  private lastTickMs: number
  private playbackMs: number
  /** Takes part but is told nothing: a line that died without a goodbye. */
  frozen = false
  speed: number
  constructor(
    readonly socket: WebSocket,
    readonly replay: string | null,
    private readonly now: () => number,
    private readonly manual: Manual,
    liveSpeed: number,
  ) {
    this.speed = replay === null ? liveSpeed : 60
    this.lastTickMs = now()
    this.playbackMs = nightStart + 3 * 3_600_000
    socket.on('message', (bytes) => this.told(String(bytes)))
    this.sendSnapshot()
  }
  private get at() {
    return this.replay === null ? this.now() : this.playbackMs
  }
  private playback() {
    return this.replay === null
      ? null
      : {
          recording: this.replay,
          atMs: this.playbackMs,
          startMs: nightStart,
          endMs: this.now(),
          playing: this.playing,
          speed: this.speed,
          recordedSpeed: 1,
        }
  }
  sendSnapshot() {
    const manual =
      this.replay === null
        ? this.manual
        : { ...this.manual, alarms: [], silentSinceMs: null, logbook: logbookUpTo(this.playbackMs) }
    const snapshot: SnapshotMessage = snapshotAt(this.at, ++this.sequence, manual, {
      mode: this.replay === null ? 'live' : 'replay',
      playback: this.playback(),
      speed: this.speed,
    })
    this.write(snapshot)
  }
  send(increment: Increment) {
    this.write({ ...increment, sequence: ++this.sequence } as IncrementMessage)
  }
  /** Loses messages on the way: the next one shows a hole. */
  skip(count: number) {
    this.sequence += count
  }
  write(message: unknown) {
    if (!this.frozen && this.socket.readyState === this.socket.OPEN)
      this.socket.send(typeof message === 'string' ? message : JSON.stringify(message))
  }

  /** A second has passed: the newest line, and once a second the running blocks. */
  tick() {
    const nowMs = this.now()
    if (this.replay !== null && this.playing)
      this.playbackMs = Math.min(nowMs, this.playbackMs + (nowMs - this.lastTickMs) * this.speed)
    const before = this.lastTickMs
    this.lastTickMs = nowMs
    if (this.replay !== null && !this.playing)
      return this.send({ type: 'playback', playback: this.playback() ?? failed() })
    const atMs = Math.floor(this.at / 1000) * 1000
    const silent = this.replay === null && this.manual.silentSinceMs !== null
    const reading = silent ? null : readingAt(atMs)
    if (reading) this.send({ type: 'reading', reading, lines: Math.floor((atMs - nightStart) / 1000) })
    const { sinceMs } = phaseAt(this.at)
    if (sinceMs > before || this.replay !== null) {
      this.send({
        type: 'stream',
        stream: streamAt(this.at, this.replay === null ? this.manual : { ...this.manual, silentSinceMs: null }),
      })
      const span: PhaseSpan | undefined = spansBetween(sinceMs, this.at).at(-1)
      if (span) this.send({ type: 'phase-span', span })
    }
    this.send({
      type: 'running',
      ...runningAt(this.at, this.speed, this.replay === null ? this.manual : { ...this.manual, silentSinceMs: null }),
    })
    if (this.replay !== null) this.send({ type: 'playback', playback: this.playback() ?? failed() })
  }

  private told(text: string) {
    const message = clientMessage.parse(JSON.parse(text))
    if (message.type === 'resync') return this.sendSnapshot()
    if (message.type === 'seek') this.playbackMs = message.atMs
    else this.playing = message.type === 'play'
    if (message.type === 'play') this.speed = message.speed
    if (message.type === 'seek') this.sendSnapshot()
    else this.send({ type: 'playback', playback: this.playback() ?? failed() })
  }
}
const failed = (): never => {
  throw new Error(`a playback was asked of a live view of ${recordingId}`)
}
