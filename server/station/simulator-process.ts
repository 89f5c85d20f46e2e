import { spawn } from 'node:child_process'
import { createInterface } from 'node:readline'
import type { Readable } from 'node:stream'
import { fileURLToPath } from 'node:url'
import type { LineSource } from '../engine/settings/line-sources.ts'
import { Trouble } from '../trouble.ts'

/** How long the simulator may take to listen, ms. */
const startWithinMs = 15_000

export interface SimulatorProcess {
  readonly link: Extract<LineSource, { kind: 'tcp' }>
  readonly pid: number
  stop(): Promise<void>
}

export interface SimulatorRun {
  readonly scenario: string
  readonly seed: number
  /** Further flags of `flueledger simulate`. */
  readonly flags?: readonly string[]
}

/** Starts the simulator as a process of its own, on a TCP link of this machine. */
export async function startSimulator(
  { scenario, seed, flags = [] }: SimulatorRun,
  log: (text: string) => void,
): Promise<SimulatorProcess> {
  const main = fileURLToPath(new URL(import.meta.url.endsWith('.ts') ? '../main.ts' : '../main.js', import.meta.url))
  const loader = main.endsWith('.ts') ? ['--import', 'tsx'] : []
  const child = spawn(
    process.execPath,
    [...loader, main, 'simulate', '--scenario', scenario, '--seed', String(seed), ...flags, '--to', 'tcp:0'],
    // The channel carries nothing: its end tells the simulator that this process is gone, killed ones included.
    { stdio: ['ignore', 'ignore', 'pipe', 'ipc'] },
  )
  const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()))
  const port = await new Promise<number>((resolve, reject) => {
    const timer = setTimeout(
      () => reject(new Error(`the simulator did not listen within ${startWithinMs / 1000} s`)),
      startWithinMs,
    )
    const lines = createInterface({ input: child.stderr as Readable })
    lines.on('line', (text) => {
      const found = /"event":"listening","port":(\d+)/.exec(text)
      if (found) {
        clearTimeout(timer)
        resolve(Number(found[1]))
      } else if (!/"event":"(clients|link)"/.test(text)) log(`simulator: ${text}`)
    })
    // What it had to say stands in the log.
    child.once('exit', () => {
      clearTimeout(timer)
      reject(new Trouble(`the simulator could not be started with the scenario ${JSON.stringify(scenario)}`))
    })
  })
  return {
    link: { kind: 'tcp', host: '127.0.0.1', port, lineEnd: 'auto' },
    pid: child.pid ?? 0,
    async stop() {
      child.kill('SIGTERM')
      await ended
    },
  }
}
