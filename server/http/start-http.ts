import { createServer, type Server } from 'node:http'
import { type AddressInfo, isIPv4, type Socket } from 'node:net'
import { hostname } from 'node:os'
import { machineClocks } from '../clock.ts'
import { exitStatus, Trouble } from '../trouble.ts'
import { createApp } from './app.ts'
import { createHub } from './hub.ts'
import type { SetUpFace } from './set-up-face.ts'
import { SignIn } from './sign-in.ts'
import type { StationFace } from './station-face.ts'
import type { Rhythm } from './viewer.ts'

export const usualPort = 8321
const portsTried = 20
/** How long a stop waits for answers under way and for viewers to say goodbye. */
const graceMs = 1000

export interface HttpSettings {
  readonly face: StationFace
  readonly setUp?: SetUpFace | undefined
  /** 127.0.0.1 unless given; without a passphrase only an address of this machine's loopback. */
  readonly host?: string | undefined
  /** 8321 unless given; 0 takes any free one. */
  readonly port?: number | undefined
  /** What must be said to come in; not given: nothing is asked, and only this machine comes in. */
  readonly passphrase?: string | undefined
  /** Folder of the built dashboard. */
  readonly webFolder: string
  readonly version: string
  /** For defects; one line each, without control characters. */
  readonly log: (text: string) => void
  /** When viewers are pinged, held back and let go. */
  readonly rhythm?: Rhythm
}

export interface RunningHttp {
  readonly address: { readonly host: string; readonly port: number }
  /** The port asked for, or the usual one, was taken and another is used. */
  readonly usualPortTaken: boolean
  /** Says goodbye to viewers and closes every connection, within about a second. */
  close(): Promise<void>
}

/** Serves the dashboard, the interface and the live line. Throws a Trouble where the host is not a loopback one or cannot be listened on. */
export async function startHttp({
  face,
  setUp,
  host = '127.0.0.1',
  port = usualPort,
  passphrase,
  webFolder,
  version,
  log,
  rhythm,
}: HttpSettings): Promise<RunningHttp> {
  const loopback = loopbackAddress(host)
  if (loopback === null && passphrase === undefined) throw needsPassphrase(host)
  const address = loopback ?? host
  const admission = {
    names: loopback === null ? [hostname(), `${hostname()}.local`].map((name) => name.toLowerCase()) : [],
    signIn: passphrase === undefined ? null : new SignIn(passphrase, machineClocks.wallMs),
  }
  const hub = createHub({ face, log, clocks: machineClocks, ...admission, ...(rhythm ? { rhythm } : {}) })
  const app = createApp({ face, setUp, webFolder, version, log, hubMetrics: hub.metrics, ...admission })
  // Slow or idle openers of connections are cut, and never hold more than a share of the process's file handles.
  const server = createServer(
    { headersTimeout: 10_000, requestTimeout: 30_000, connectionsCheckingInterval: 5_000 },
    app,
  )
  server.maxConnections = 256
  server.on('upgrade', hub.upgrade)
  const sockets = new Set<Socket>()
  server.on('connection', (socket) => {
    sockets.add(socket)
    socket.once('close', () => sockets.delete(socket))
  })

  try {
    await listenOnFirstFree(server, address, port)
  } catch (error) {
    await hub.close()
    throw error
  }
  // A connection that could not be taken (no file handle left) is that client's loss alone.
  server.on('error', (error) => log(`http: ${JSON.stringify(String(error))}`))
  const taken = (server.address() as AddressInfo).port
  return {
    address: { host: address, port: taken },
    usualPortTaken: port !== 0 && taken !== port,
    async close() {
      const cut = setTimeout(() => {
        for (const socket of sockets) socket.destroy()
      }, graceMs)
      const serverClosed = new Promise((resolve) => server.close(resolve))
      server.closeIdleConnections()
      await Promise.all([serverClosed, hub.close()])
      clearTimeout(cut)
    },
  }
}

function loopbackAddress(host: string): string | null {
  const plain = host.toLowerCase().replace(/^\[(.*)\]$/, '$1')
  if (plain === 'localhost') return '127.0.0.1'
  if (plain === '::1' || (isIPv4(plain) && plain.startsWith('127.'))) return plain
  return null
}

const needsPassphrase = (host: string): Trouble =>
  new Trouble(
    `--host ${JSON.stringify(host)}: others are let in only with a passphrase: add --passphrase-file FILE; without one use 127.0.0.1, ::1 or localhost`,
    exitStatus.wrongUse,
  )

async function listenOnFirstFree(server: Server, host: string, wished: number): Promise<void> {
  const ports =
    wished === 0
      ? [0]
      : [...Array.from({ length: portsTried + 1 }, (_, step) => wished + step).filter((port) => port <= 65_535), 0]
  for (const port of ports) {
    const failure = await listen(server, host, port)
    if (failure === null) return
    if (failure.code !== 'EADDRINUSE') throw cannotListen(host, port, failure)
  }
  throw cannotListen(host, wished, new Error('no port is free'))
}

const listen = (server: Server, host: string, port: number): Promise<NodeJS.ErrnoException | null> =>
  new Promise((resolve) => {
    const settle = (failure: NodeJS.ErrnoException | null) => {
      server.off('error', settle)
      server.off('listening', done)
      resolve(failure)
    }
    const done = () => settle(null)
    server.once('error', settle)
    server.once('listening', done)
    server.listen(port, host)
  })

const cannotListen = (host: string, port: number, cause: Error): Trouble =>
  new Trouble(
    `--host ${host} --port ${port}: cannot be listened on (${cause.message}); ports from 1024 to 65535 need no special rights`,
    exitStatus.wrongUse,
    cause,
  )
