import { setImmediate as nextTurn } from 'node:timers/promises'
import { allSequences, type LineLink, type Tell } from './links/link.ts'
import { serialLink } from './links/serial-link.ts'
import { fileLink, streamLink } from './links/stream-link.ts'
import { tcpLink } from './links/tcp-link.ts'
import { type SimulatedLine, simulateNight } from './night.ts'
import {
  type CheckedOptions,
  type SimulationMessage,
  type SimulationOptions,
  type SimulationSummary,
  simulationOptions,
} from './options.ts'
import { makePace, type Pace } from './pace.ts'
import { readScenario, type Scenario } from './scenario.ts'
import { type TruthWriter, writeTruth } from './truth.ts'

export { LinkOutOfReach } from './links/link.ts'
export type { SimulationMessage, SimulationOptions, SimulationSummary } from './options.ts'
export { simulationOptions } from './options.ts'
export { ScenarioFault } from './scenario.ts'

/** A write that takes longer than this was held up by the other side: simulated time stood still meanwhile. */
const HELD_UP_MS = 100
const LINES_PER_BATCH = 2000
const SKIPPED_PER_TURN = 5000

/**
 * Runs a simulation until its end or until the signal aborts; both are an orderly end, with the truth complete.
 * Fails with a zod error for wrong options, a `ScenarioFault`, a `LinkOutOfReach`, or the system’s error of the truth file.
 */
export async function runSimulation(
  asked: SimulationOptions,
  signal: AbortSignal,
  report: (message: SimulationMessage) => void = () => {},
): Promise<SimulationSummary> {
  const options = simulationOptions.parse(asked)
  const scenario = readScenario(options.scenario)
  const startMs = startOf(options, scenario)
  const truth =
    options.truth === undefined
      ? null
      : await writeTruth(options.truth, { scenario, seed: options.seed, startMs, minutes: options.truthMinutes })
  const total = { sent: 0, notSent: 0 }
  const tell: Tell = (sequences, sent) => {
    const list = [...sequences]
    if (sent === true) total.sent += list.length
    if (sent === false) total.notSent += list.length
    truth?.tell(list, sent)
  }
  const gone = new AbortController()
  const stop = AbortSignal.any([signal, gone.signal])
  const link = linkFor(options, tell, report, () => gone.abort())
  const run = new Run(options, scenario, startMs, link, truth, tell, report, stop)
  try {
    await link.open()
    await run.all()
  } finally {
    await link.close()
    await truth?.close()
  }
  const summary: SimulationSummary = {
    scenario: scenario.name,
    seed: options.seed,
    lines: run.lines,
    ...total,
    unknown: run.lines - total.sent - total.notSent,
    lastAt: run.lastMs === null ? null : new Date(run.lastMs).toISOString(),
  }
  report({ event: 'ended', ...summary })
  return summary
}

function startOf(options: CheckedOptions, scenario: Scenario): number {
  if (options.start !== undefined && options.start !== 'now') return Date.parse(options.start)
  const nowMs = Math.floor(Date.now() / 1000) * 1000
  if (options.start === 'now') return nowMs
  return options.catchUpToNow ? nowMs - (options.hours ?? scenario.hours) * 3_600_000 : Date.parse(scenario.start)
}

function linkFor(
  options: CheckedOptions,
  tell: Tell,
  report: (message: SimulationMessage) => void,
  onGone: () => void,
): LineLink {
  const { to } = options
  switch (to.kind) {
    case 'stdout':
      return streamLink(process.stdout, tell, onGone)
    case 'file':
      return fileLink(to.path, tell)
    case 'tcp':
      return tcpLink(
        to.port,
        tell,
        (port) => report({ event: 'listening', port }),
        (count) => report({ event: 'clients', count }),
      )
    case 'serial':
      return serialLink(to.path, options.baudRate, tell, (up) => report({ event: 'link', up }))
  }
}

/** One walk through the night: takes due lines, keeps the link as the script wants it, waits where nobody listens. */
class Run {
  lines = 0
  lastMs: number | null = null
  readonly #options: CheckedOptions
  readonly #link: LineLink
  readonly #truth: TruthWriter | null
  readonly #tell: Tell
  readonly #report: (message: SimulationMessage) => void
  readonly #stop: AbortSignal
  readonly #night: Iterator<SimulatedLine, void, undefined>
  readonly #pace: Pace
  #next: SimulatedLine | null = null
  #isDown = false
  #waits: boolean
  #isBehindClock: boolean
  #kept: SimulatedLine[] = []

  constructor(
    options: CheckedOptions,
    scenario: Scenario,
    startMs: number,
    link: LineLink,
    truth: TruthWriter | null,
    tell: Tell,
    report: (message: SimulationMessage) => void,
    stop: AbortSignal,
  ) {
    this.#options = options
    this.#link = link
    this.#truth = truth
    this.#tell = tell
    this.#report = report
    this.#stop = stop
    this.#waits = options.whileUnlinked === 'wait'
    this.#isBehindClock = options.catchUpToNow
    const hours = options.catchUpToNow ? Number.POSITIVE_INFINITY : (options.hours ?? scenario.hours)
    this.#night = simulateNight(scenario, options.seed, { startMs, hours })
    this.#pace = makePace(startMs, options.speed === 'fastest' ? Number.POSITIVE_INFINITY : options.speed, () =>
      performance.now(),
    )
  }

  async all(): Promise<void> {
    await this.#skip()
    while (this.#next && !this.#stop.aborted) {
      await this.#matchLink(this.#next)
      if (this.#stop.aborted) break
      const { lines, link } = this.#due()
      if (lines.length === 0) await this.#pace.until(this.#next.atMs, this.#stop)
      else await this.#send(lines, link)
      this.#link.settle()
      await this.#truth?.flush()
      this.#meetClock()
    }
    this.#tell(
      this.#kept.map((line) => line.sequence),
      false,
    )
  }

  #advance(): void {
    const step = this.#night.next()
    this.#next = step.done ? null : step.value
  }

  async #skip(): Promise<void> {
    const { skipTo } = this.#options
    this.#advance()
    if (skipTo !== undefined) {
      const toMs = skipTo === 'now' ? Date.now() : Date.parse(skipTo)
      for (let skipped = 1; this.#next && this.#next.atMs < toMs && !this.#stop.aborted; skipped++) {
        this.#advance()
        if (skipped % SKIPPED_PER_TURN === 0) await nextTurn()
      }
    }
    if (this.#next)
      this.#pace.set(
        this.#options.speed === 'fastest' ? Number.POSITIVE_INFINITY : this.#options.speed,
        this.#next.atMs,
      )
  }

  /** Takes the link down or up as the script says; where it should be up and nobody listens, simulated time waits. */
  async #matchLink(line: SimulatedLine): Promise<void> {
    const shallBeDown = line.link === 'lost' || line.link === 'kept'
    if (shallBeDown && !this.#isDown) await this.#link.takeDown()
    if (!shallBeDown && this.#isDown) await this.#link.bringUp()
    this.#isDown = shallBeDown
    if (shallBeDown || this.#link.isUp || !this.#waits) return
    this.#report({ event: 'waiting', at: new Date(line.atMs).toISOString() })
    const sinceMs = performance.now()
    await this.#link.whenUp(this.#stop)
    this.#pace.stoodStill(performance.now() - sinceMs)
  }

  /** Lines that are due and whose link is in the same state, behind those that were kept; not more than a batch holds. */
  #due(): { readonly lines: SimulatedLine[]; readonly link: SimulatedLine['link'] } {
    const dueMs = Math.min(this.#pace.dueMs(), this.#isBehindClock ? Date.now() : Number.POSITIVE_INFINITY)
    const link = this.#next?.link ?? 'up'
    const lines = link === 'up' ? this.#kept.splice(0) : []
    let bytes = 0
    while (this.#next && this.#next.link === link && this.#next.atMs <= dueMs && lines.length < LINES_PER_BATCH) {
      bytes += this.#next.bytes.length
      if (bytes > this.#link.batchBytes && lines.length > 0) break
      lines.push(this.#next)
      this.#truth?.line(this.#next)
      this.lines++
      this.lastMs = this.#next.atMs
      this.#advance()
    }
    return { lines, link }
  }

  async #send(lines: SimulatedLine[], link: SimulatedLine['link']): Promise<void> {
    if (link === 'up') await this.#write(lines)
    else if (link === 'kept') this.#kept.push(...lines)
    else this.#tell(allSequences(lines), false)
    await nextTurn() // so that signals and answers of the link are heard, however fast the night runs
  }

  async #write(batch: SimulatedLine[]): Promise<void> {
    const sinceMs = performance.now()
    await this.#link.write(batch, this.#stop)
    const heldUpMs = performance.now() - sinceMs
    if (heldUpMs > HELD_UP_MS && this.#waits) this.#pace.stoodStill(heldUpMs)
  }

  /** Once simulated time has reached the real clock the night goes on in real time, listened to or not. */
  #meetClock(): void {
    if (!this.#isBehindClock || !this.#next || this.#next.atMs < Date.now()) return
    this.#isBehindClock = false
    this.#waits = false
    this.#pace.set(1, Date.now())
    this.#report({ event: 'caught-up', at: new Date(this.#next.atMs).toISOString() })
  }
}
