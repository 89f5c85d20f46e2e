import { type ChildProcessByStdio, execFile, spawn } from 'node:child_process'
import { once } from 'node:events'
import type { Readable } from 'node:stream'
import { fileURLToPath } from 'node:url'
import { patienceMs } from './patience.ts'

export const main = fileURLToPath(new URL('../../dist/server/main.js', import.meta.url))

export interface Outcome {
  readonly status: number
  readonly out: string
  readonly err: string
}

/** Runs the built command to its end. */
export const flueledger = (...parameters: string[]): Promise<Outcome> =>
  new Promise((settle) => {
    execFile(process.execPath, [main, ...parameters], { maxBuffer: 1e9 }, (error, out, err) =>
      settle({ status: error === null ? 0 : typeof error.code === 'number' ? error.code : -1, out, err }),
    )
  })

/** The pauses between two looks, ms: what comes soon is seen soon, and a long wait leaves the machine to what is waited for. */
const pauses = { shortest: 20, longest: 100, growth: 1.2 }

/** Polls until `look` gives something; a deadline that passes is a failure that says what was waited for. */
export async function until<T>(
  what: string,
  look: () => T | Promise<T>,
  withinMs = patienceMs,
): Promise<NonNullable<Exclude<T, false>>> {
  const deadline = performance.now() + withinMs
  for (let pauseMs = pauses.shortest; ; pauseMs = Math.min(pauses.longest, pauseMs * pauses.growth)) {
    const found = await look()
    if (found !== null && found !== undefined && found !== false) return found as NonNullable<Exclude<T, false>>
    if (performance.now() > deadline) throw new Error(`within ${withinMs} ms it never came that ${what}`)
    await new Promise((resolve) => setTimeout(resolve, pauseMs))
  }
}

const started = new Set<Running>()

/** The built command as a process that goes on: what it says, and how it ended. */
export class Running {
  out = ''
  err = ''
  /** null while it runs; the signal's name where one ended it. */
  ended: number | string | null = null
  readonly #child: ChildProcessByStdio<null, Readable, Readable>

  get pid(): number {
    return this.#child.pid ?? 0
  }

  constructor(...parameters: string[]) {
    this.#child = spawn(process.execPath, [main, ...parameters], { stdio: ['ignore', 'pipe', 'pipe'] })
    this.#child.stdout.setEncoding('utf8').on('data', (text: string) => {
      this.out += text
    })
    this.#child.stderr.setEncoding('utf8').on('data', (text: string) => {
      this.err += text
    })
    this.#child.on('exit', (status, signal) => {
      this.ended = status ?? signal
      started.delete(this)
    })
    started.add(this)
  }

  signal(name: NodeJS.Signals): void {
    this.#child.kill(name)
  }

  /** Sends a signal and waits for the end. Returns the status, or the signal’s name, and how long it took, ms. */
  async stop(
    name: NodeJS.Signals = 'SIGTERM',
  ): Promise<{ readonly status: number | string | null; readonly ms: number }> {
    const since = performance.now()
    const gone = this.ended === null ? once(this.#child, 'exit') : Promise.resolve()
    this.#child.kill(name)
    await gone
    return { status: this.ended, ms: performance.now() - since }
  }

  /** An orderly end, as a tester ends it; any other is a failure that says what was told. */
  async endsInOrder(): Promise<void> {
    const { status } = await this.stop()
    if (status !== 0) throw new Error(`it ended with ${status}, not in order: ${this.err}`)
  }

  /** The dashboard’s address, once it is told; without a slash at its end. */
  address(): Promise<string> {
    return until('the address of the dashboard is told', () => {
      if (this.ended !== null) throw new Error(`it ended with ${this.ended}: ${this.err}`)
      return /^dashboard: (http:\S+)\/$/m.exec(this.out)?.[1]
    })
  }

  /** The port of a simulator on TCP. */
  port(): Promise<string> {
    return until('the simulator listens', () => {
      if (this.ended !== null) throw new Error(`it ended with ${this.ended}: ${this.err}`)
      return /"event":"listening","port":(\d+)/.exec(this.err)?.[1]
    })
  }
}

/** Ends what a failed test has left running. */
export async function endAll(): Promise<void> {
  for (const running of [...started]) {
    running.signal('SIGCONT')
    await running.stop('SIGKILL')
  }
}

/** POST of a JSON body to a running station. */
export const post = (address: string, path: string, body: object): Promise<Response> =>
  fetch(`${address}${path}`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
