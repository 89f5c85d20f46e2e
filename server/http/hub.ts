import type { IncomingMessage } from 'node:http'
import type { Duplex } from 'node:stream'
import { type WebSocket, WebSocketServer } from 'ws'
import { z } from 'zod'
import type { MachineClocks } from '../clock.ts'
import { refusalAtTheDoor } from './admission.ts'
import { largestMessage } from './app.ts'
import { Audience } from './audience.ts'
import { heard } from './client-words.ts'
import type { Metric } from './open-metrics.ts'
import { faultsOf, type Refusal, refuseUpgrade, unknownRecording } from './refusal.ts'
import { isRecordingId } from './route.ts'
import type { SignIn } from './sign-in.ts'
import type { StationFace } from './station-face.ts'
import { type Rhythm, usualRhythm, Viewer } from './viewer.ts'

export interface HubParts {
  readonly face: StationFace
  readonly log: (text: string) => void
  readonly clocks: Pick<MachineClocks, 'monotonicMs'>
  /** As in the app. */
  readonly names: readonly string[]
  readonly signIn: SignIn | null
  readonly rhythm?: Rhythm
}
export interface Hub {
  /** For the server's `upgrade` event. */
  upgrade(request: IncomingMessage, socket: Duplex, head: Buffer): void
  metrics(): readonly Metric[]
  /**
   * Says goodbye to every viewer; done when all are gone and their feeds closed. A viewer that does not answer is cut by
   * whoever owns the sockets.
   */
  close(): Promise<void>
}

/** Bounds that no ordinary use comes near; a playback costs the station a worker of its own. */
const mostViewers = 100
const mostPlaybacks = 8

const liveQuery = z.strictObject({ replay: z.string().optional() })
const closeCode = { goingAway: 1001, malformed: 1007, defect: 1011 } as const

/** WS /api/live and /api/live?replay=ID. */
export function createHub({ face, log, clocks, names, signIn, rhythm = usualRhythm }: HubParts): Hub {
  const sockets = new WebSocketServer({
    noServer: true,
    maxPayload: largestMessage,
    perMessageDeflate: false,
    autoPong: false,
  })
  const viewers = new Map<Viewer, WebSocket>()
  let live: Audience | null = null
  let playbacks = 0
  let skippedByGone = 0
  let isClosed = false
  let allGone = (): void => {}
  const beats = setInterval(() => {
    for (const viewer of viewers.keys()) viewer.beat()
  }, rhythm.pingEveryMs)
  beats.unref()

  const liveAudience = (): Audience => {
    live ??= new Audience(face.live(), () => {
      live = null
    })
    return live
  }

  /** From here on the line belongs to a viewer; the audience is left when it closes, however it closes. */
  function open(socket: WebSocket, audience: Audience): void {
    const snapshotText = () => sound(socket, () => audience.snapshotText())
    const viewer = new Viewer({ socket, snapshotText, monotonicMs: clocks.monotonicMs, rhythm })
    viewers.set(viewer, socket)
    // Every fault of the line is followed by its close, which is what counts here.
    socket.on('error', () => {})
    socket.on('close', () => {
      viewers.delete(viewer)
      viewer.gone()
      skippedByGone += viewer.skippedInAll
      audience.leave(viewer)
      if (viewers.size === 0) allGone()
    })
    socket.on('message', (data, isBinary) => {
      const told = heard(data, isBinary)
      if (told.is === 'malformed') return socket.close(closeCode.malformed, 'not a message of this protocol')
      if (told.is === 'unknown') return
      const { message } = told
      if (message.type === 'resync') viewer.resync()
      else sound(socket, () => audience.control(message))
    })
    audience.join(viewer)
  }

  /** What the station throws costs this viewer the line, not the station its life. null: it threw. */
  function sound<T>(socket: WebSocket, work: () => T): T | null {
    try {
      return work()
    } catch (error) {
      failed(error)
      socket.close(closeCode.defect, 'the station could not answer')
      return null
    }
  }

  function openLive(socket: WebSocket): void {
    const audience = sound(socket, liveAudience)
    if (audience !== null) open(socket, audience)
  }

  async function openPlayback(id: string, request: IncomingMessage, socket: Duplex, head: Buffer): Promise<void> {
    playbacks += 1
    const ended = () => {
      playbacks -= 1
    }
    const gone = new AbortController()
    const leave = (): void => gone.abort()
    // A line that its other side ended says so only to whoever reads it; before the handshake nothing else comes.
    socket.once('end', leave).once('close', leave).resume()
    const feed = isRecordingId(id) ? await face.replay(id, gone.signal).catch((error: unknown) => failed(error)) : null
    socket.off('end', leave).off('close', leave)
    if (feed === null || feed === 'failed') {
      ended()
      return refuseUpgrade(socket, feed === null ? unknownRecording(id.slice(0, 60)) : couldNotOpen)
    }
    const audience = new Audience(feed, ended)
    // Also when the handshake fails or the line is gone by now.
    if (gone.signal.aborted || socket.destroyed || isClosed) {
      audience.close()
      socket.destroy()
      return
    }
    socket.once('close', () => audience.close())
    sockets.handleUpgrade(request, socket, head, (line) => open(line, audience))
  }

  function failed(error: unknown): 'failed' {
    log(`hub: ${JSON.stringify(String(error))}`)
    return 'failed'
  }

  function refusalOf(request: IncomingMessage, url: URL | null): Refusal | null {
    const atTheDoor = refusalAtTheDoor(request, names)
    if (atTheDoor) return atTheDoor
    if (signIn && !signIn.isSignedIn(request))
      return { status: 401, errors: ['sign in first: open /sign-in in a browser'] }
    if (url?.pathname !== '/api/live') return { status: 404, errors: ['a WebSocket is answered at /api/live alone'] }
    const query = liveQuery.safeParse(Object.fromEntries(url.searchParams))
    if (!query.success) return { status: 400, errors: faultsOf(query.error, liveQuery) }
    if (isClosed) return { status: 503, errors: ['the station is stopping'] }
    if (viewers.size >= mostViewers)
      return { status: 503, errors: [`at most ${mostViewers} viewers can look on at once`] }
    if (query.data.replay !== undefined && playbacks >= mostPlaybacks)
      return { status: 503, errors: [`at most ${mostPlaybacks} recordings can be played back at once`] }
    return null
  }

  return {
    upgrade(request, socket, head) {
      socket.on('error', () => {}) // The close that follows is what counts.
      const url = URL.canParse(request.url ?? '', 'http://station')
        ? new URL(request.url ?? '', 'http://station')
        : null
      const refusal = refusalOf(request, url)
      if (refusal) return refuseUpgrade(socket, refusal)
      const replay = url?.searchParams.get('replay') ?? null
      if (replay === null) return sockets.handleUpgrade(request, socket, head, openLive)
      openPlayback(replay, request, socket, head).catch((error: unknown) => {
        failed(error)
        socket.destroy()
      })
    },
    metrics: () => [
      { name: 'flueledger_viewers', help: 'Pages and programs that look on.', kind: 'gauge', value: viewers.size },
      {
        name: 'flueledger_playbacks',
        help: 'Recordings being played back to a viewer.',
        kind: 'gauge',
        value: playbacks,
      },
      {
        name: 'flueledger_increments_skipped',
        help: 'Increments left out for viewers that were too slow.',
        kind: 'counter',
        value: skippedByGone + [...viewers.keys()].reduce((sum, viewer) => sum + viewer.skippedInAll, 0),
      },
    ],
    close() {
      isClosed = true
      clearInterval(beats)
      for (const socket of viewers.values()) socket.close(closeCode.goingAway, 'the station is stopping')
      return new Promise((resolve) => {
        allGone = resolve
        if (viewers.size === 0) resolve()
      })
    },
  }
}

const couldNotOpen: Refusal = {
  status: 500,
  errors: ['the recording could not be opened: a defect of ours, noted in the log'],
}
