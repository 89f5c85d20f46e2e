import { existsSync, realpathSync } from 'node:fs'
import type { z } from 'zod'
import { type After, realAfter } from '../clock.ts'
import type { serialSource } from '../engine/settings/line-sources.ts'
import { type Connection, type ConnectionNews, type KeptOpenOptions, keptOpen } from './kept-open.ts'
import { portHolders } from './port-holders.ts'
import { openTrouble } from './port-trouble.ts'
import { ReadlineSplitter } from './readline-splitter.ts'
import { resolvePort } from './resolve-port.ts'
import { serialRetry } from './retry.ts'
import type { Source, SourceNeeds } from './source.ts'
import { portTexts } from './trouble-texts.ts'

export type SerialSettings = z.infer<typeof serialSource>
export interface SerialOptions extends KeptOpenOptions, SourceNeeds {}

const writeWithinMs = 2000
const checkDeviceEveryMs = 400

/**
 * A serial port. Its name is resolved at each attempt, so that an adapter is found again under another number; when the
 * name comes to stand for another device while the port is open, it is reopened. The port is locked against a second
 * opener. The first piece after an opening may be half a line and is marked `first`.
 */
export function serial(settings: SerialSettings, options: SerialOptions): Source {
  const after = options.after ?? realAfter
  const isPath = settings.path.startsWith('/')
  return keptOpen(
    {
      name: options.name,
      connect: (news) => new SerialConnection(settings, news, after),
      retry: serialRetry,
      ...(isPath ? { isThere: () => existsSync(settings.path) } : {}),
    },
    options,
  )
}

type Port = import('serialport').SerialPort

class SerialConnection implements Connection {
  readonly #settings: SerialSettings
  readonly #news: ConnectionNews
  readonly #after: After
  readonly #opening: Promise<void>
  #port: Port | null = null
  #shown: string
  #isClosed = false
  #cancelCheck = (): void => {}

  constructor(settings: SerialSettings, news: ConnectionNews, after: After) {
    this.#settings = settings
    this.#news = news
    this.#after = after
    this.#shown = settings.path
    this.#opening = this.#open().catch((error: unknown) => news.refused(portTexts.failed(this.#shown, error)))
  }

  send(text: string): void {
    const cancel = this.#after(writeWithinMs, () => this.#news.lost(portTexts.requestStuck(this.#shown)))
    // A failed write is told by the port's `close`.
    this.#port?.write(text, 'latin1', cancel)
  }

  async close(): Promise<void> {
    this.#isClosed = true
    this.#cancelCheck()
    await this.#opening
    const port = this.#port
    // The error of a port that is closed already says nothing new.
    if (port?.isOpen) await new Promise<void>((resolve) => port.close(() => resolve()))
  }

  async #open(): Promise<void> {
    const resolved = await resolvePort(this.#settings.path)
    if (!resolved.ok) return this.#news.refused(resolved.detail)
    const { device } = resolved
    this.#shown = device === this.#settings.path ? device : `${this.#settings.path} (${device})`

    // Loaded only here: TCP, files and playback work where the serial binding does not load.
    let loaded: [typeof import('serialport'), typeof import('@serialport/parser-readline')]
    try {
      loaded = await Promise.all([import('serialport'), import('@serialport/parser-readline')])
    } catch (error) {
      return this.#news.refused(portTexts.notLoaded(error))
    }
    const [{ SerialPort }, { ReadlineParser }] = loaded
    const port = new SerialPort({ ...portOptions(this.#settings), path: device, autoOpen: false, lock: true })
    const error = await new Promise<Error | null>((resolve) => port.open(resolve))
    if (error) return this.#news.refused(await openTrouble(error, device, this.#shown))
    this.#port = port
    if (this.#isClosed) return

    const others = (await portHolders(device)).filter((holder) => holder.pid !== process.pid)
    if (!port.isOpen) return this.#news.lost(portTexts.gone(this.#shown, null))
    // Pseudo-terminals and some adapters have no modem lines: the failure is none.
    port.set({ dtr: true, rts: true }, () => {})
    port.on('error', () => {
      // Told by `close`; without a listener it would end the process.
    })
    port.on('close', (cause: unknown) => this.#news.lost(portTexts.gone(this.#shown, cause)))
    this.#news.opened(
      portTexts.open(this.#shown, others),
      new ReadlineSplitter(ReadlineParser, this.#settings.lineEnd, { first: true }),
    )
    port.on('data', (chunk: Buffer) => this.#news.bytes(chunk))
    this.#checkDevice(device)
  }

  /**
   * The handle of an unplugged adapter does not always tell: reads of a hung-up port may go on giving nothing. And an
   * adapter that came back under another number leaves an old handle that looks sound, or a stranger under the old name.
   */
  #checkDevice(device: string): void {
    const isPath = this.#settings.path.startsWith('/')
    this.#cancelCheck = this.#after(checkDeviceEveryMs, () => {
      const now = isPath ? deviceOf(this.#settings.path) : device
      if (!existsSync(device)) this.#news.lost(portTexts.gone(this.#shown, null))
      else if (now !== null && now !== device) this.#news.lost(portTexts.moved(this.#shown, now))
      else this.#checkDevice(device)
    })
  }
}

/** null while the name leads nowhere: a link may be gone for a moment while it is made anew. */
function deviceOf(path: string): string | null {
  try {
    return realpathSync(path)
  } catch {
    return null
  }
}

const portOptions = (settings: SerialSettings) => ({
  baudRate: settings.baudRate,
  dataBits: settings.dataBits,
  parity: settings.parity,
  stopBits: settings.stopBits,
  rtscts: settings.flowControl === 'rts-cts',
  xon: settings.flowControl === 'xon-xoff',
  xoff: settings.flowControl === 'xon-xoff',
})
