import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Piece } from '../../protocols/instrument/reader.ts'
import { type After, realAfter } from '../clock.ts'
import { type FreshnessRule, SilenceHints, silenceLimitMs } from './freshness.ts'
import { Hold } from './hold.ts'
import type { PieceSplitter } from './line-splitter.ts'
import { type Polling, startPolling } from './polling.ts'
import { isToldAttempt, type RetryDelay } from './retry.ts'
import type { Source, SourceEvent, SourceLink, SourceNeeds } from './source.ts'

/** What a connection tells while it lives: `opened` and `bytes`, or `refused`; in the end `lost`. What comes later is ignored. */
export interface ConnectionNews {
  /** `splitter` is a new one: no half line outlives its connection. */
  opened(detail: string, splitter: PieceSplitter): void
  bytes(chunk: Uint8Array): void
  refused(detail: string): void
  lost(detail: string): void
}
export interface Connection {
  /** A write that does not get through ends in `lost`. */
  send(text: string): void
  /** Where its bytes can wait at the other end: no more come until it goes on. */
  readonly flow?: { pause(): void; goOn(): void }
  /** Never rejects; may be called at any time, also before it was opened. */
  close(): Promise<void>
}

/** What differs between the kinds of link. */
export interface LinkKind {
  readonly name: string
  readonly connect: (news: ConnectionNews) => Connection
  readonly retry: RetryDelay
  /** Whether it is there again, asked twice a second while waiting: an attempt follows at once when it came back. */
  readonly isThere?: () => boolean
}
export interface KeptOpenOptions extends Omit<SourceNeeds, 'name'> {
  readonly freshness: FreshnessRule
  readonly poll?: Polling | undefined
  /** Awaited after each chunk, where the link can wait. */
  readonly hold?: (() => Promise<void>) | undefined
}

/** A connection that lived shorter counts as a failed attempt, even if lines came: the waits grow for a flapping peer. */
const worthwhileMs = 5000
const lookEveryMs = 1000
const thereEveryMs = 500
/** A chunk that so much came in was not all that lay ready: Node asks for 64 KiB at a time. */
const longChunkBytes = 32_768
/** A handle that cannot even be closed must not hold up the next attempt. */
const closeWithinMs = 2000

/**
 * Keeps a link open for ever. Freshness decides, not the handle: without a line for `silenceLimitMs` it is closed and
 * opened again. Link events come by change: a failing attempt is told when its reason is new and at the 1st, 2nd, 4th,
 * 8th … in a row; an attempt in between that does open is told when its first line comes.
 */
export function keptOpen(kind: LinkKind, options: KeptOpenOptions): Source {
  return new KeptOpen(kind, options)
}

interface Live {
  connection: Connection
  splitter: PieceSplitter | null
  openDetail: string
  openIsTold: boolean
  openedAt: number
  /** Monotonic time of the last piece, or of the opening. */
  freshAt: number
  pieces: number
  /** It waits for who stores its lines: no silence of the instrument. */
  isHeld: boolean
  stopPolling: () => void
}

class KeptOpen implements Source {
  readonly name: string
  readonly #kind: LinkKind
  readonly #options: KeptOpenOptions
  readonly #after: After
  readonly #hints = new SilenceHints()
  readonly #hold: Hold
  #listener: ((event: SourceEvent) => void) | null = null
  #live: Live | null = null
  #failures = 0
  #toldRefusal: string | null = null
  #cancelTimer = (): void => {}
  #isClosed = false
  #closing: Promise<void> = Promise.resolve()

  constructor(kind: LinkKind, options: KeptOpenOptions) {
    this.name = kind.name
    this.#kind = kind
    this.#options = options
    this.#after = options.after ?? realAfter
    this.#hold = new Hold(options.hold)
  }

  open(listener: (event: SourceEvent) => void): void {
    this.#listener = listener
    this.#cancelTimer = this.#after(0, () => this.#attempt())
  }

  send(text: string): void {
    if (this.#live?.splitter) this.#live.connection.send(text)
  }

  async close(): Promise<void> {
    if (!this.#isClosed) {
      this.#isClosed = true
      this.#hold.close()
      this.#cancelTimer()
      const live = this.#live
      if (live) this.#end(live)
    }
    await this.#closing
    this.#listener = null
  }

  get #attemptNumber(): number {
    return this.#failures + 1
  }

  #attempt(): void {
    if (this.#isClosed) return
    const live: Live = {
      connection: { send: () => {}, close: async () => {} },
      splitter: null,
      openDetail: '',
      openIsTold: false,
      openedAt: 0,
      freshAt: 0,
      pieces: 0,
      isHeld: false,
      stopPolling: () => {},
    }
    this.#live = live
    const whileLive =
      <Args extends unknown[]>(act: (...args: Args) => void) =>
      (...args: Args): void => {
        if (this.#live === live) act(...args)
      }
    live.connection = this.#kind.connect({
      opened: whileLive((detail, splitter) => this.#opened(live, detail, splitter)),
      bytes: whileLive((chunk) => this.#bytes(live, chunk)),
      refused: whileLive((detail) => this.#refused(live, detail)),
      lost: whileLive((detail) => this.#gone(live, 'lost', detail)),
    })
    // A connection that failed while it was being made has no one else to close it.
    if (this.#live !== live) this.#closing = this.#closing.then(() => live.connection.close())
  }

  #opened(live: Live, detail: string, splitter: PieceSplitter): void {
    live.splitter = splitter
    live.openDetail = detail
    live.openedAt = live.freshAt = this.#options.clock.monotonicMs()
    this.#hints.reset()
    if (isToldAttempt(this.#attemptNumber)) this.#tellOpen(live)
    this.#lookForSilence(live)
    const { poll, clock } = this.#options
    if (poll && this.#live === live)
      live.stopPolling = startPolling(
        poll,
        (text) => live.connection.send(text),
        this.#after,
        () => clock.speed(),
      )
  }

  #tellOpen(live: Live): void {
    live.openIsTold = true
    this.#toldRefusal = null
    this.#tell('open', live.openDetail)
  }

  #bytes(live: Live, chunk: Uint8Array): void {
    const before = live.pieces
    live.splitter?.push(chunk, (bytes, piece) => this.#piece(live, bytes, piece))
    if (live.pieces > before) this.#hints.reset()
    else this.#hints.took(chunk)
    if (this.#live === live && live.connection.flow) void this.#letWait(live, live.connection.flow, chunk.length)
  }

  async #letWait(live: Live, flow: NonNullable<Connection['flow']>, bytes: number): Promise<void> {
    flow.pause()
    live.isHeld = true
    const { clock } = this.#options
    const since = clock.monotonicMs()
    await this.#hold.wait()
    // Else Node reads on in the same turn for as long as bytes lie ready, and whoever looks on waits for seconds.
    if (bytes >= longChunkBytes) await nextTurn()
    live.isHeld = false
    if (this.#live !== live) return
    live.freshAt += clock.monotonicMs() - since
    flow.goOn()
  }

  #piece(live: Live, bytes: Uint8Array, piece: Piece): void {
    if (!live.openIsTold) this.#tellOpen(live)
    live.pieces++
    const { clock } = this.#options
    live.freshAt = clock.monotonicMs()
    // A copy: a view would keep the whole chunk in memory while the line waits to be stored.
    this.#listener?.({
      kind: 'line',
      atMs: clock.stationMs(),
      monotonicMs: live.freshAt,
      bytes: new Uint8Array(bytes),
      piece,
    })
  }

  #lookForSilence(live: Live, leastMs = 1): void {
    const { clock, freshness } = this.#options
    const limit = silenceLimitMs(freshness, clock.speed())
    const waitMs = Math.max(leastMs, Math.min(lookEveryMs, live.freshAt + limit - clock.monotonicMs()))
    const askedAt = clock.monotonicMs()
    this.#cancelTimer = this.#after(waitMs, () => {
      if (this.#live !== live) return
      const now = clock.monotonicMs()
      // After a hold-up of the whole process bytes may be waiting unread: then the silence is ours, and one more look decides.
      const wasHeldUp = now - askedAt > waitMs + lookEveryMs
      if (wasHeldUp || live.isHeld) this.#lookForSilence(live, lookEveryMs)
      else if (now - live.freshAt >= limit) this.#gone(live, 'silent', this.#hints.text(limit))
      else this.#lookForSilence(live)
    })
  }

  #refused(live: Live, detail: string): void {
    this.#end(live)
    if (detail !== this.#toldRefusal || isToldAttempt(this.#attemptNumber)) {
      this.#toldRefusal = detail
      this.#tell('refused', detail)
    }
    this.#failures++
    this.#waitForNext()
  }

  #gone(live: Live, state: 'lost' | 'silent', detail: string): void {
    this.#end(live)
    if (live.openIsTold) this.#tell(state, detail)
    const wasWorthwhile = live.pieces > 0 && this.#options.clock.monotonicMs() - live.openedAt >= worthwhileMs
    this.#failures = wasWorthwhile ? 0 : this.#failures + 1
    this.#waitForNext()
  }

  /** Gives the unfinished line and closes the connection. */
  #end(live: Live): void {
    this.#cancelTimer()
    live.stopPolling()
    live.splitter?.end((bytes, piece) => this.#piece(live, bytes, piece))
    this.#live = null
    const before = this.#closing
    const closed = before.then(() => live.connection.close())
    this.#closing = Promise.race([
      closed,
      new Promise<void>((resolve) => {
        const cancel = this.#after(closeWithinMs, resolve)
        void closed.finally(cancel)
      }),
    ])
  }

  #waitForNext(): void {
    if (this.#isClosed) return
    const dueAt = this.#options.clock.monotonicMs() + this.#kind.retry(this.#failures)
    let wasThere = this.#kind.isThere?.() ?? true
    const wait = (): void => {
      const left = dueAt - this.#options.clock.monotonicMs()
      const isThere = this.#kind.isThere?.() ?? true
      const cameBack = isThere && !wasThere
      if (cameBack) this.#failures = 0
      if (left <= 0 || cameBack) {
        void this.#closing.then(() => this.#attempt())
        return
      }
      wasThere = isThere
      this.#cancelTimer = this.#after(this.#kind.isThere ? Math.min(left, thereEveryMs) : left, wait)
    }
    wait()
  }

  #tell(state: SourceLink['state'], detail: string): void {
    const { clock } = this.#options
    this.#listener?.({
      kind: 'link',
      atMs: clock.stationMs(),
      monotonicMs: clock.monotonicMs(),
      state,
      attempt: this.#attemptNumber,
      detail,
    })
  }
}
