import { type ChildProcessByStdio, spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { connect, type Socket } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Readable } from 'node:stream'
import { SerialPort } from 'serialport'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import {
  runSimulation,
  type SimulationMessage,
  type SimulationOptions,
  type SimulationSummary,
} from '../../simulator/simulate.ts'
import { Cable } from '../support/pty-pair.ts'

let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'simulator-link-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

/** A simulation that runs, and what it says. */
class Simulated {
  readonly halt = new AbortController()
  readonly truth = join(folder, 'truth.jsonl')
  readonly ended: Promise<SimulationSummary>
  readonly #messages: SimulationMessage[] = []
  #wake = (): void => {}

  constructor(options: SimulationOptions) {
    this.ended = runSimulation({ truth: this.truth, ...options }, this.halt.signal, (message) => {
      this.#messages.push(message)
      this.#wake()
    })
    this.ended.catch(() => this.#wake())
  }

  /** The next message of this kind that nobody has taken yet. */
  async hears<E extends SimulationMessage['event']>(event: E): Promise<Extract<SimulationMessage, { event: E }>> {
    for (;;) {
      const at = this.#messages.findIndex((message) => message.event === event)
      if (at >= 0) return this.#messages.splice(at, 1)[0] as Extract<SimulationMessage, { event: E }>
      await new Promise<void>((resolve) => {
        this.#wake = resolve
      })
    }
  }

  lines(): { sequence: number; at: string; sent: boolean | 'unknown'; text?: string; base64?: string; link: string }[] {
    return readFileSync(this.truth, 'utf8')
      .trimEnd()
      .split('\n')
      .map((text) => JSON.parse(text))
      .filter((line) => line.kind === 'line')
  }

  sentBytes(): Buffer {
    const bytes = this.lines()
      .filter((line) => line.sent === true)
      .map((line) => (line.base64 ? Buffer.from(line.base64, 'base64') : Buffer.from(line.text ?? '', 'latin1')))
    return Buffer.concat(bytes)
  }
}

/** A client that keeps what comes. */
class Listener {
  readonly socket: Socket
  readonly ended: Promise<unknown>
  readonly #chunks: Buffer[] = []
  #wake = (): void => {}

  constructor(port: number) {
    this.socket = connect(port, '127.0.0.1')
    this.socket.on('error', () => {})
    this.socket.on('data', (chunk) => {
      this.#chunks.push(chunk)
      this.#wake()
    })
    this.ended = once(this.socket, 'close')
  }

  get bytes(): Buffer {
    return Buffer.concat(this.#chunks)
  }

  async has(bytes: number): Promise<void> {
    while (this.bytes.length < bytes) {
      await new Promise<void>((resolve) => {
        this.#wake = resolve
      })
    }
  }
}

/** Each with its end; a piece at the end stays a piece. */
const linesIn = (bytes: Buffer): string[] => bytes.toString('latin1').split(/(?<=\n)/)

describe('over TCP', () => {
  test('simulated time stands still until somebody listens, and what the truth calls sent is what was heard', async () => {
    const simulated = new Simulated({ scenario: 'calm-night', speed: 'fastest', hours: 1, to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    expect(await simulated.hears('waiting')).toEqual({ event: 'waiting', at: '2026-11-20T18:00:00.000Z' })
    const listener = new Listener(port)
    const summary = await simulated.ended
    await listener.ended
    expect(summary).toMatchObject({ lines: 3601, sent: 3601, unknown: 0, notSent: 0 })
    expect(simulated.sentBytes().equals(listener.bytes)).toBe(true)
  })

  test('two clients hear the same lines', async () => {
    const simulated = new Simulated({ scenario: 'calm-night', speed: 7200, hours: 2, to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    const first = new Listener(port)
    await first.has(1)
    const second = new Listener(port)
    await simulated.ended
    await Promise.all([first.ended, second.ended])
    expect(second.bytes.length).toBeGreaterThan(0)
    expect(first.bytes.subarray(first.bytes.length - second.bytes.length).equals(second.bytes)).toBe(true)
  })

  test('a scripted loss ends the connection, and the rest waits for the next one', async () => {
    const simulated = new Simulated({ scenario: 'half-hour', speed: 'fastest', to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    const before = new Listener(port)
    await before.ended
    await simulated.hears('listening')
    const after = new Listener(port)
    await simulated.ended
    await after.ended
    expect(
      simulated
        .lines()
        .filter((line) => line.sent !== true)
        .map((line) => line.link),
    ).toEqual(Array(60).fill('lost'))
    expect(simulated.sentBytes().equals(Buffer.concat([before.bytes, after.bytes]))).toBe(true)
    expect(after.bytes.toString('utf8')).toMatch(/^\{"time":"2026-11-22T06:24:00Z"/)
  })

  test('a listener that vanishes leaves its last lines unknown; every line called sent was heard', async () => {
    const simulated = new Simulated({ scenario: 'calm-night', speed: 7200, hours: 8, to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    await simulated.hears('waiting')
    const first = new Listener(port)
    await first.has(1_000_000)
    first.socket.resetAndDestroy()
    await simulated.hears('waiting')
    const second = new Listener(port)
    await simulated.ended
    await second.ended
    const heard = new Set([...linesIn(first.bytes), ...linesIn(second.bytes)])
    const lines = simulated.lines()
    const unknown = lines.filter((line) => line.sent === 'unknown')
    expect(unknown.length).toBeGreaterThan(0)
    expect(lines.filter((line) => line.sent === true && !heard.has(line.text ?? '?'))).toEqual([])
    expect(lines.filter((line) => line.sent === false)).toEqual([])
    expect(lines).toHaveLength(28_801)
  })

  test('stopped in the middle it ends in order: the listener has all that was sent', async () => {
    const simulated = new Simulated({ scenario: 'calm-night', speed: 3600, to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    const listener = new Listener(port)
    await listener.has(100_000)
    simulated.halt.abort()
    const summary = await simulated.ended
    await listener.ended
    expect(summary).toMatchObject({ unknown: 0, notSent: 0 })
    expect(simulated.sentBytes().equals(listener.bytes)).toBe(true)
  })

  test('speed is kept to the schedule: six simulated minutes at 360× take a real second', async () => {
    const simulated = new Simulated({ scenario: 'calm-night', speed: 360, hours: 0.1, to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    const listener = new Listener(port)
    await listener.has(1)
    const from = performance.now()
    await simulated.ended
    const seconds = (performance.now() - from) / 1000
    expect(seconds).toBeGreaterThan(0.9)
    expect(seconds).toBeLessThan(3)
  })

  test('a port that is taken is out of reach', async () => {
    const simulated = new Simulated({ scenario: 'half-hour', to: 'tcp:0' })
    const { port } = await simulated.hears('listening')
    await expect(
      runSimulation({ scenario: 'half-hour', to: `tcp:${port}` }, new AbortController().signal),
    ).rejects.toThrow(`tcp port ${port} is out of reach`)
    simulated.halt.abort()
    await simulated.ended
  })
})

describe('over a pseudo-terminal', () => {
  const cable = (): Cable => new Cable()
  /** `from`: reads only then, from a port that is open before. */
  const readsFrom = async (
    path: string,
    from: Promise<void> = Promise.resolve(),
  ): Promise<{ port: SerialPort; bytes: () => Buffer; has: (count: number) => Promise<void> }> => {
    const port = new SerialPort({ path, baudRate: 9600, autoOpen: false })
    await new Promise<void>((resolve, reject) => port.open((error) => (error ? reject(error) : resolve())))
    const chunks: Buffer[] = []
    let length = 0
    let wake = (): void => {}
    void from.then(() =>
      port.on('data', (chunk: Buffer) => {
        chunks.push(chunk)
        length += chunk.length
        wake()
      }),
    )
    port.on('error', () => {})
    const has = async (count: number): Promise<void> => {
      while (length < count) {
        await new Promise<void>((resolve) => {
          wake = resolve
        })
      }
    }
    return { port, bytes: () => Buffer.concat(chunks), has }
  }

  test('an hour arrives whole, though nobody reads at first', async () => {
    const line = cable()
    await line.plug()
    let begin = (): void => {}
    const reader = await readsFrom(line.station, new Promise((resolve) => (begin = resolve)))
    const simulated = new Simulated({
      scenario: 'calm-night',
      speed: 'fastest',
      hours: 1,
      to: `serial:${line.instrument}`,
    })
    await simulated.hears('link')
    begin()
    const summary = await simulated.ended
    const sent = simulated.sentBytes()
    await reader.has(sent.length)
    expect(summary).toMatchObject({ lines: 3601, sent: 3601, unknown: 0 })
    expect(reader.bytes().equals(sent)).toBe(true)
    await new Promise<void>((resolve) => reader.port.close(() => resolve()))
    await line.throwAway()
  })

  test('an unplugged line waits to be plugged again; every line called sent was read', async () => {
    const line = cable()
    await line.plug()
    const simulated = new Simulated({
      scenario: 'calm-night',
      speed: 'fastest',
      hours: 2,
      to: `serial:${line.instrument}`,
    })
    const first = await readsFrom(line.station)
    await first.has(200_000)
    await line.pull()
    // A port that is left open when its cable is pulled reads nothing, again and again.
    await new Promise<void>((resolve) => first.port.close(() => resolve()))
    await simulated.hears('waiting')
    let second = first
    await line.plug(async () => {
      second = await readsFrom(line.station)
    })
    const summary = await simulated.ended
    await second.has(1)
    const lines = simulated.lines()
    const lastSent = lines.findLast((of) => of.sent === true)?.text ?? '?'
    while (!second.bytes().includes(lastSent)) await second.has(second.bytes().length + 1)
    const heard = new Set([...linesIn(first.bytes()), ...linesIn(second.bytes())])
    expect(summary.unknown).toBeGreaterThan(0)
    expect(lines.filter((of) => of.sent === true && !heard.has(of.text ?? '?'))).toEqual([])
    expect(lines).toHaveLength(7201)
    await new Promise<void>((resolve) => second.port.close(() => resolve()))
    await line.throwAway()
  })
})

describe('as a program', () => {
  const start = (...flags: string[]): ChildProcessByStdio<null, Readable, Readable> =>
    spawn(process.execPath, ['dist/simulator/main.js', ...flags], { stdio: ['ignore', 'pipe', 'pipe'] })
  const said = async (from: Readable): Promise<string> => {
    let text = ''
    for await (const chunk of from) text += chunk
    return text
  }

  test('told to stop while its reader is stuck, it ends in order within five seconds', async () => {
    const truth = join(folder, 'truth.jsonl')
    const program = start('--speed', 'fastest', '--hours', '700', '--truth', truth)
    const messages = said(program.stderr)
    await once(program.stdout, 'readable')
    const from = performance.now()
    program.kill('SIGTERM')
    const [status] = await once(program, 'exit')
    expect(status).toBe(0)
    expect(performance.now() - from).toBeLessThan(5000)
    expect(await messages).toContain('"event":"ended"')
    expect(readFileSync(truth, 'utf8').trimEnd().split('\n').at(-1)).toContain('"kind":"end"')
  })

  test('a reader that has enough ends it', async () => {
    const program = start('--speed', 'fastest', '--hours', '700')
    const messages = said(program.stderr)
    await once(program.stdout, 'data')
    program.stdout.destroy()
    const [status] = await once(program, 'exit')
    expect(status).toBe(0)
    expect(await messages).toContain('"event":"ended"')
  })

  test.each([
    { flags: ['--to', 'tcp:99999', '--truth-minutes', '0'], status: 2, says: '--to: "tcp:99999" is none of' },
    { flags: ['--scenario', 'stormy'], status: 2, says: 'scenarios by name are calm-night, rough-night, half-hour' },
    { flags: ['--sped', '3'], status: 2, says: '--sped' },
    { flags: ['--to', 'serial:/dev/nowhere'], status: 4, says: 'serial port /dev/nowhere is out of reach' },
  ])('$flags is told apart: status $status', async ({ flags, status, says }) => {
    const program = start(...flags)
    const messages = said(program.stderr)
    program.stdout.resume()
    expect((await once(program, 'exit'))[0]).toBe(status)
    expect(await messages).toContain(says)
  })
})
