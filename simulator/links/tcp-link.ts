import { once } from 'node:events'
import { type AddressInfo, createServer, type Server, type Socket } from 'node:net'
import { aborted, allBytes, allSequences, type LineLink, LinkOutOfReach, type Tell } from './link.ts'

/** A batch is sure once the link of a client held for so long after the system took it. */
const SURE_AFTER_MS = 1000
/** How long an orderly end waits for the other side. */
const END_WITHIN_MS = 2000

interface Batch {
  readonly sequences: readonly number[]
  holders: number
  isTold: boolean
}
interface Client {
  readonly socket: Socket
  readonly batches: { readonly batch: Batch; takenMs: number | null }[]
  /** The other side ended its half after we ended ours, without an error: it has read everything. */
  isOrderly: boolean
  isEnding: boolean
}

/**
 * Listens on 127.0.0.1; every client gets the same lines. `onPort` tells the port whenever it listens.
 * TCP cannot say what the other program has read. So: sure when the link stood for a second after the system took the bytes,
 * or when both sides ended in order; `unknown` when it broke before.
 */
export function tcpLink(
  port: number,
  tell: Tell,
  onPort: (port: number) => void,
  onClients: (count: number) => void,
): LineLink {
  const clients = new Set<Client>()
  const waiters = new Set<() => void>()
  let server: Server | null = null
  let listensOn = port

  async function listen(): Promise<void> {
    const opened = createServer((socket) => take(socket))
    server = opened
    try {
      const listening = once(opened, 'listening')
      opened.listen(listensOn, '127.0.0.1')
      await listening
    } catch (error) {
      throw new LinkOutOfReach(`tcp port ${listensOn}`, error)
    }
    listensOn = (opened.address() as AddressInfo).port
    onPort(listensOn)
  }

  function take(socket: Socket): void {
    const client: Client = { socket, batches: [], isOrderly: false, isEnding: false }
    let hadError = false
    clients.add(client)
    socket.setNoDelay(true)
    socket.resume()
    socket.on('error', () => {
      hadError = true
    })
    socket.on('end', () => {
      client.isOrderly = client.isEnding
    })
    socket.on('close', () => {
      clients.delete(client)
      for (const { batch } of client.batches) letGo(batch, client.isOrderly && !hadError)
      onClients(clients.size)
    })
    onClients(clients.size)
    for (const wake of waiters) wake()
  }

  function letGo(batch: Batch, isSure: boolean): void {
    batch.holders--
    if (batch.isTold || (!isSure && batch.holders > 0)) return
    batch.isTold = true
    tell(batch.sequences, isSure ? true : 'unknown')
  }

  function settle(): void {
    const now = performance.now()
    for (const client of clients) {
      for (
        let first = client.batches[0];
        first?.takenMs != null && now - first.takenMs >= SURE_AFTER_MS;
        first = client.batches[0]
      ) {
        client.batches.shift()
        letGo(first.batch, true)
      }
    }
  }

  async function endClients(): Promise<void> {
    await Promise.all(
      [...clients].map(async (client) => {
        const closed = once(client.socket, 'close')
        const giveUp = setTimeout(() => client.socket.destroy(), END_WITHIN_MS)
        client.isEnding = true
        client.socket.end()
        await closed.catch(() => {}) // an error closes the socket too; its handler has seen it
        clearTimeout(giveUp)
      }),
    )
  }

  async function stop(): Promise<void> {
    const stopping = server
    server = null
    const closed = stopping ? new Promise((resolve) => stopping.close(resolve)) : Promise.resolve()
    await endClients()
    await closed
  }

  return {
    name: `tcp port ${port}`,
    batchBytes: 65_536,
    settle,
    get isUp() {
      return clients.size > 0
    },
    open: listen,
    async whenUp(signal) {
      if (clients.size > 0) return
      const abort = aborted(signal)
      let wake = (): void => {}
      const connected = new Promise<void>((resolve) => {
        wake = resolve
        waiters.add(wake)
      })
      await Promise.race([connected, abort.promise])
      waiters.delete(wake)
      abort.done()
    },
    async write(lines, signal) {
      if (clients.size === 0) return tell(allSequences(lines), false)
      const bytes = allBytes(lines)
      const batch: Batch = { sequences: allSequences(lines), holders: clients.size, isTold: false }
      const abort = aborted(signal)
      await Promise.all(
        [...clients].map(async ({ socket, batches }) => {
          const held: Client['batches'][number] = { batch, takenMs: null }
          batches.push(held)
          const goesOn = socket.write(bytes, (error) => {
            if (!error) held.takenMs = performance.now()
          })
          if (goesOn || socket.destroyed) return
          const waiting = new AbortController()
          await Promise.race([once(socket, 'drain', waiting), once(socket, 'close', waiting), abort.promise]).catch(
            () => {},
          ) // an error is followed by `close`
          waiting.abort()
        }),
      )
      abort.done()
    },
    takeDown: stop,
    bringUp: listen,
    close: stop,
  }
}
