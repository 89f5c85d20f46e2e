import type { WebSocket } from 'ws'

export interface Rhythm {
  /** Above so many bytes waiting, a snapshot on its way aside, increments are left out. */
  readonly fullBytes: number
  /** Once no more than this waits, a viewer that fell behind is brought up to date. */
  readonly drainedBytes: number
  readonly pingEveryMs: number
  /** A viewer that takes nothing for so long, though something waits for it, is let go. */
  readonly stuckAfterMs: number
}
export const usualRhythm: Rhythm = {
  fullBytes: 262_144,
  drainedBytes: 65_536,
  pingEveryMs: 15_000,
  stuckAfterMs: 30_000,
}

const missesAllowed = 2
/** A viewer that asks for the picture over and over gets it no more often than this. */
const resyncEveryMs = 250

export interface ViewerParts {
  readonly socket: WebSocket
  /** A snapshot as JSON, without its number; null: there is none, and the line is being closed. */
  readonly snapshotText: () => string | null
  readonly monotonicMs: () => number
  readonly rhythm: Rhythm
}

/**
 * The sending side of one viewer: numbers what it sends, and holds back what the viewer cannot take.
 *
 * Everything passes one gate, so that at most `fullBytes` plus one snapshot wait in memory however slow the viewer is.
 * What was left out is never sent later: `merged` says how much it was, and a snapshot follows.
 */
export class Viewer {
  /** Increments left out since it connected. */
  skippedInAll = 0
  private sequence = 0
  /** Size of a snapshot that still waits; 0: none does. */
  private pictureBytes = 0
  private skipped = 0
  private isBehind = false
  private misses = 0
  private progressMs: number
  private askedMs = Number.NEGATIVE_INFINITY
  private answering: ReturnType<typeof setTimeout> | null = null
  private readonly parts: ViewerParts

  constructor(parts: ViewerParts) {
    this.parts = parts
    this.progressMs = parts.monotonicMs()
    const { socket } = parts
    socket.on('pong', () => {
      this.misses = 0
    })
    // Answers to pings pass the gate too: a viewer that pings without reading would fill the memory with them.
    socket.on('ping', (data) => {
      if (!this.isFull) socket.pong(data, false, (error) => this.flushed(error))
    })
  }

  private get isFull(): boolean {
    // A snapshot alone can be larger than the mark: counted, it would be followed by the next one for ever.
    return this.parts.socket.bufferedAmount > this.parts.rhythm.fullBytes + this.pictureBytes
  }

  /** Whether an increment can go out now; else it counts as left out. */
  takes(): boolean {
    if (!this.isBehind && !this.isFull) return true
    this.isBehind = true
    this.skipped += 1
    this.skippedInAll += 1
    return false
  }

  /** text: the increment as JSON, without its number. Only after `takes`. */
  sendIncrement(text: string): void {
    this.sequence += 1
    this.send(text)
  }

  /** The picture as it is now; later, if too much waits already. */
  sendSnapshot(): void {
    if (this.isBehind || this.isFull || this.pictureBytes > 0) this.isBehind = true
    else this.sendPicture()
  }

  /**
   * The viewer asks for the picture. Forming it takes the station's time: asked for over and over it comes a moment later,
   * once for all that was asked meanwhile.
   */
  resync(): void {
    if (this.answering !== null) return
    const waitMs = Math.max(0, this.askedMs + resyncEveryMs - this.parts.monotonicMs())
    const answer = () => {
      this.answering = null
      this.askedMs = this.parts.monotonicMs()
      this.sendSnapshot()
    }
    if (waitMs === 0) answer()
    else this.answering = setTimeout(answer, waitMs)
  }

  /** The line is closed. */
  gone(): void {
    if (this.answering !== null) clearTimeout(this.answering)
  }

  /** Once per `pingEveryMs`: lets go of a viewer that is gone or stuck, and asks the others for a sign of life. */
  beat(): void {
    const { socket, monotonicMs, rhythm } = this.parts
    const isStuck = socket.bufferedAmount > 0 && monotonicMs() - this.progressMs >= rhythm.stuckAfterMs
    if (isStuck || this.misses >= missesAllowed) {
      socket.terminate()
      return
    }
    this.misses += 1
    if (!this.isFull) socket.ping()
  }

  private sendPicture(): void {
    const text = this.parts.snapshotText()
    if (text === null) return
    this.pictureBytes = Buffer.byteLength(text)
    this.send(text, () => {
      this.pictureBytes = 0
    })
  }

  private send(text: string, through = () => {}): void {
    const { socket, monotonicMs } = this.parts
    if (socket.bufferedAmount === 0) this.progressMs = monotonicMs()
    // The number comes first, so that the rest is the same text for every viewer.
    socket.send(`{"sequence":${this.sequence},${text.slice(1)}`, (error) => {
      through()
      this.flushed(error)
    })
  }

  /** The system has taken a message over, or the line is gone. */
  private flushed(error?: Error | null): void {
    if (error) return
    const { socket, monotonicMs, rhythm } = this.parts
    this.progressMs = monotonicMs()
    if (!this.isBehind || socket.readyState !== socket.OPEN || socket.bufferedAmount > rhythm.drainedBytes) return
    this.isBehind = false
    if (this.skipped > 0) {
      const text = JSON.stringify({ type: 'merged', skipped: this.skipped })
      this.skipped = 0
      this.sendIncrement(text)
    }
    this.sendPicture()
  }
}
