import type { ClientMessage } from '../protocols/live/messages.ts'
import type { PageLink } from './store.ts'

const firstDelayMs = 500
const longestDelayMs = 15_000
/** Wait before try number `attempt` (from 1): doubling, with a share of chance so that pages do not all come at once. */
export const retryDelay = (attempt: number, chance: number): number =>
  Math.min(longestDelayMs, firstDelayMs * 2 ** (attempt - 1)) * (0.5 + chance / 2)

/** A restart is over by then; a refusal is not. */
const lastsNoMoment = 3
/** A browser does not tell why a WebSocket was refused; a plain request does. */
const askWhetherSignedOut = (): Promise<void> =>
  fetch('healthz').then(
    ({ status }) => {
      if (status === 401) location.assign('sign-in')
    },
    () => {}, // The station is out of reach: the page says so already.
  )

export interface ConnectionParts {
  readonly address: () => string
  readonly onText: (text: string) => void
  readonly onLink: (link: PageLink) => void
}

/** The WebSocket to the station. Comes back by itself for as long as the page lives; `close` ends it. */
export class Connection {
  private socket: WebSocket | null = null
  private waiting: ReturnType<typeof setTimeout> | null = null
  private attempt = 0
  private closed = false
  private lostMs = 0

  constructor(private readonly parts: ConnectionParts) {
    this.connect()
  }

  private connect(): void {
    if (this.closed) return
    this.waiting = null
    const now = performance.now()
    this.parts.onLink({
      state: this.attempt === 0 ? 'connecting' : 'lost',
      sinceMs: this.attempt === 0 ? now : this.lostMs,
      attempt: this.attempt,
      retryMs: null,
    })
    const socket = new WebSocket(this.parts.address())
    this.socket = socket
    socket.onopen = () => {
      this.attempt = 0
      this.parts.onLink({ state: 'open', sinceMs: performance.now(), attempt: 0, retryMs: null })
    }
    socket.onmessage = ({ data }) => this.parts.onText(String(data))
    socket.onclose = () => {
      if (this.socket === socket) this.lost()
    }
  }

  private lost(): void {
    this.socket = null
    if (this.closed) return
    const now = performance.now()
    if (this.attempt === 0) this.lostMs = now
    this.attempt += 1
    const delay = retryDelay(this.attempt, Math.random())
    this.parts.onLink({ state: 'lost', sinceMs: this.lostMs, attempt: this.attempt, retryMs: now + delay })
    this.waiting = setTimeout(() => this.connect(), delay)
    if (this.attempt === lastsNoMoment) void askWhetherSignedOut()
  }

  /** Drops a line that went dead without a goodbye and starts anew. */
  restart(): void {
    const socket = this.socket
    this.release(socket)
    if (socket || this.waiting !== null) this.lost()
    this.wake()
  }

  /** Tries now instead of waiting on: the page was looked at again, or the network came back. */
  wake(): void {
    if (this.waiting === null || this.closed) return
    clearTimeout(this.waiting)
    this.connect()
  }

  send(message: ClientMessage): void {
    if (this.socket?.readyState === WebSocket.OPEN) this.socket.send(JSON.stringify(message))
  }

  close(): void {
    this.closed = true
    if (this.waiting !== null) clearTimeout(this.waiting)
    this.release(this.socket)
    this.socket = null
  }

  private release(socket: WebSocket | null): void {
    if (!socket) return
    socket.onmessage = socket.onclose = null
    // One that is not open yet is let come: to close it before is a fault to the browser, which tells everybody.
    socket.onopen = () => socket.close()
    if (socket.readyState !== WebSocket.CONNECTING) socket.close()
  }
}
