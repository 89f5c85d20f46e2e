import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdtempSync, realpathSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** A cable: two pseudo-terminals joined by socat. Pulling it kills socat, as an adapter that is unplugged. */
export class Cable {
  readonly station: string
  readonly instrument: string
  readonly folder: string
  #socat: ChildProcess | null = null
  #writer: FileHandle | null = null

  constructor() {
    this.folder = mkdtempSync(join(tmpdir(), 'cable-'))
    this.station = join(this.folder, 'station')
    this.instrument = join(this.folder, 'instrument')
  }

  /** `first`: done before the instrument finds its end. Who opens the other one throws away what has come there already. */
  async plug(first?: () => Promise<void>): Promise<void> {
    const end = (link: string): string => `pty,raw,echo=0,link=${link}`
    const hidden = `${this.instrument}.hidden`
    this.#socat = spawn('socat', [end(this.station), end(hidden)], { stdio: 'ignore' })
    while (!existsSync(this.station) || !existsSync(hidden)) await new Promise((resolve) => setTimeout(resolve, 5))
    await first?.()
    renameSync(hidden, this.instrument)
    this.#writer = await open(this.instrument, 'r+')
  }

  async pull(): Promise<void> {
    const socat = this.#socat
    this.#socat = null
    if (!socat) return
    const gone = once(socat, 'exit')
    socat.kill('SIGKILL')
    await gone
    // Killed, socat leaves its links behind; udev would remove them.
    rmSync(this.station, { force: true })
    rmSync(this.instrument, { force: true })
    // Its other end is gone: there is nothing left to close cleanly.
    await this.#writer?.close().catch(() => {})
    this.#writer = null
  }

  /** What the instrument sends. */
  async sends(text: string): Promise<void> {
    await this.#writer?.write(Buffer.from(text, 'latin1'))
  }

  /** What the instrument hears next. */
  async hears(): Promise<string> {
    const { buffer, bytesRead } = (await this.#writer?.read(Buffer.alloc(200), 0, 200, null)) ?? {
      buffer: Buffer.alloc(0),
      bytesRead: 0,
    }
    return buffer.toString('latin1', 0, bytesRead)
  }

  get device(): string {
    return realpathSync(this.station)
  }

  async throwAway(): Promise<void> {
    await this.pull()
    rmSync(this.folder, { recursive: true, force: true })
  }

  /** A file beside the pair, for links. */
  beside(name: string, content = ''): string {
    const path = join(this.folder, name)
    writeFileSync(path, content)
    return path
  }
}
