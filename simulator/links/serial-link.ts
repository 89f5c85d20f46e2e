import { once } from 'node:events'
import { setTimeout as wait } from 'node:timers/promises'
import type { SerialPort } from 'serialport'
import { aborted, allBytes, allSequences, type LineLink, LinkOutOfReach, type Tell } from './link.ts'

/** More than the buffers between us and the reader hold (a pair of pseudo-terminals: 36 KiB): what is older has been read. */
const BUFFERS_HOLD_BYTES = 65_536
const RETRY_MS = 250
const DRAIN_WITHIN_MS = 1500

/**
 * Writes to a serial port or a pseudo-terminal. When nobody reads, the buffers fill and writing stands still.
 * A line is sure once 64 KiB followed it, or when the port was drained and closed in order; `unknown` when the port went before.
 */
export function serialLink(path: string, baudRate: number, tell: Tell, onLink: (isUp: boolean) => void): LineLink {
  let port: SerialPort | null = null
  let isClosing = false
  let written = 0
  const unsure: { readonly sequences: readonly number[]; end: number }[] = []

  const tellAll = (sent: true | 'unknown'): void => {
    for (const { sequences } of unsure.splice(0)) tell(sequences, sent)
  }

  async function open(): Promise<void> {
    const { SerialPort: Port } = await import('serialport')
    const opening = new Port({ path, baudRate, autoOpen: false })
    await new Promise<void>((resolve, reject) => opening.open((error) => (error ? reject(error) : resolve())))
    opening.on('error', () => {}) // an error is followed by `close`, or shows in the callback of the write
    opening.on('close', () => {
      if (port === opening) port = null
      if (isClosing) return
      tellAll('unknown')
      onLink(false)
    })
    opening.resume()
    port = opening
    onLink(true)
  }

  async function shut(): Promise<void> {
    const closing = port
    if (!closing?.isOpen) return tellAll('unknown')
    isClosing = true
    const isDrained = await Promise.race([
      new Promise<boolean>((resolve) => closing.drain((error) => resolve(!error))),
      wait(DRAIN_WITHIN_MS, false, { ref: false }),
    ])
    const closed = once(closing, 'close')
    closing.close(() => {})
    await Promise.race([closed, wait(DRAIN_WITHIN_MS, null, { ref: false })])
    tellAll(isDrained ? true : 'unknown')
    port = null
    isClosing = false
  }

  return {
    name: `serial port ${path}`,
    batchBytes: 4096,
    get isUp() {
      return port?.isOpen === true
    },
    open: () =>
      open().catch((error: unknown) => {
        throw new LinkOutOfReach(`serial port ${path}`, error)
      }),
    async whenUp(signal) {
      while (!port?.isOpen && !signal.aborted) {
        await open()
          .catch(() => wait(RETRY_MS, null, { signal }))
          .catch(() => {}) // not there yet, or told to stop: the loop decides
      }
    },
    async write(lines, signal) {
      const to = port
      if (!to?.isOpen) return tell(allSequences(lines), false)
      const bytes = allBytes(lines)
      written += bytes.length
      unsure.push({ sequences: allSequences(lines), end: written })
      const abort = aborted(signal)
      const waiting = new AbortController()
      const taken = new Promise<void>((resolve) => to.write(bytes, () => resolve()))
      await Promise.race([taken, once(to, 'close', waiting).catch(() => {}), abort.promise])
      waiting.abort()
      abort.done()
    },
    settle() {
      for (let first = unsure[0]; first && written - first.end >= BUFFERS_HOLD_BYTES; first = unsure[0]) {
        unsure.shift()
        tell(first.sequences, true)
      }
    },
    takeDown: shut,
    async bringUp() {}, // `whenUp` opens it again
    close: shut,
  }
}
