import { connect as connectSocket } from 'node:net'
import type { z } from 'zod'
import { realAfter } from '../clock.ts'
import type { tcpSource } from '../engine/settings/line-sources.ts'
import { type Connection, type ConnectionNews, type KeptOpenOptions, keptOpen } from './kept-open.ts'
import { LineSplitter } from './line-splitter.ts'
import { tcpRetry } from './retry.ts'
import type { Source, SourceNeeds } from './source.ts'
import { tcpTexts } from './trouble-texts.ts'

export type TcpSettings = z.infer<typeof tcpSource>
export interface TcpOptions extends KeptOpenOptions, SourceNeeds {
  /** 0…1, spreads the attempts. */
  readonly jitter: () => number
}

const connectWithinMs = 5000
const writeWithinMs = 2000
const keepAliveAfterMs = 10_000

/** A TCP client. The first piece after a connection may be half a line and is marked `first`. */
export function tcp(settings: TcpSettings, options: TcpOptions): Source {
  const after = options.after ?? realAfter
  const peer = `${settings.host.includes(':') ? `[${settings.host}]` : settings.host}:${settings.port}`

  const connect = (news: ConnectionNews): Connection => {
    const socket = connectSocket({
      host: settings.host,
      port: settings.port,
      keepAlive: true,
      keepAliveInitialDelay: keepAliveAfterMs,
      noDelay: true,
    })
    let isOpen = false
    let failure: unknown = null
    const cancelLimit = after(connectWithinMs, () => {
      news.refused(tcpTexts.noAnswer(peer))
      socket.destroy()
    })
    socket.on('connect', () => {
      cancelLimit()
      isOpen = true
      news.opened(tcpTexts.open(peer), new LineSplitter(settings.lineEnd, { first: true }))
    })
    socket.on('data', (chunk) => news.bytes(chunk))
    socket.on('error', (error) => {
      failure = error
    })
    // Without half-open sockets the end of the peer's bytes closes ours: one event tells every kind of end.
    socket.on('close', () => {
      cancelLimit()
      if (!isOpen) news.refused(tcpTexts.refused(peer, failure ?? 'closed before it was open'))
      else news.lost(failure ? tcpTexts.lost(peer, failure) : tcpTexts.ended(peer))
    })
    return {
      flow: { pause: () => void socket.pause(), goOn: () => void socket.resume() },
      send(text) {
        const cancel = after(writeWithinMs, () => news.lost(tcpTexts.requestStuck(peer)))
        // A failed write is told by `close`.
        socket.write(text, 'latin1', cancel)
      },
      close: () =>
        new Promise((resolve) => {
          cancelLimit()
          if (socket.closed) resolve()
          else socket.once('close', () => resolve())
          socket.destroy()
        }),
    }
  }
  return keptOpen({ name: options.name, connect, retry: tcpRetry(options.jitter) }, options)
}
