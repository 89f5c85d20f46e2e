import type { WebSocket } from 'ws'

export interface Rhythm {
  /** Above so many bytes waiting, increments are left out. */
  readonly fullBytes: number
  /** Once no more than this waits, a viewer that fell behind is brought up to date. */
  readonly drainedBytes: number
  readonly pingEveryMs: number
  /** A viewer that takes nothing for so long, though something waits for it, is let go. */
  readonly stuckAfterMs: number
}
export const usualRhythm: Rhythm = { fullBytes: 262_144, drainedBytes: 65_536, pingEveryMs: 15_000, stuckAfterMs: 30_000 }

const missesAllowed = 2

export interface ViewerParts {
  readonly socket: WebSocket
  /** A snapshot as JSON, without its number. */
  readonly snapshotText: () => string
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
  private skipped = 0
  private isBehind = false
  private misses = 0
  private progressMs: number
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
      if (!this.isFull) socket.pong(data)
    })
  }

  private get isFull(): boolean {
    return this.parts.socket.bufferedAmount > this.parts.rhythm.fullBytes
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
    if (this.isBehind || this.isFull) this.isBehind = true
    else this.send(this.parts.snapshotText())
  }

  /** Once per `pingEveryMs`: lets go of a viewer that is gone or stuck, and asks the others for a sign of life. */
  beat(): void {
    const { socket, monotonicMs, rhythm } = this.parts
    const isStuck = socket.bufferedAmount > 0 && monotonicMs() - this.progressMs >= rhythm.stuckAfterMs
    if (isStuck || this.misses >= missesAllowed) return socket.terminate()
    this.misses += 1
    if (!this.isFull) socket.ping()
  }

  private send(text: string): void {
    const { socket, monotonicMs } = this.parts
    if (socket.bufferedAmount === 0) this.progressMs = monotonicMs()
    // The number comes first, so that the rest is the same text for every viewer.
    socket.send(`{"sequence":${this.sequence},${text.slice(1)}`, (error) => {
      if (!error) this.flushed()
    })
  }

  /** The system has taken a message over. */
  private flushed(): void {
    const { socket, monotonicMs, rhythm } = this.parts
    this.progressMs = monotonicMs()
    if (!this.isBehind || socket.readyState !== socket.OPEN || socket.bufferedAmount > rhythm.drainedBytes) return
    this.isBehind = false
    if (this.skipped > 0) {
      const text = JSON.stringify({ type: 'merged', skipped: this.skipped })
      this.skipped = 0
      this.sendIncrement(text)
    }
    this.send(this.parts.snapshotText())
  }
}
