import type { After, MachineClocks } from '../../server/clock.ts'
import type { SourceClock } from '../../server/sources/source.ts'

/** Machine clocks and timers that a test turns by hand. */
export class TurnedClock implements MachineClocks, SourceClock {
  wall: number
  monotonic = 1000
  upTime = 500_000
  stationSpeed = 1
  #timers: { due: number; run: () => void }[] = []

  constructor(wall = Date.UTC(2026, 0, 15, 22)) {
    this.wall = wall
  }

  wallMs = (): number => this.wall
  monotonicMs = (): number => this.monotonic
  uptimeMs = (): number => this.upTime
  stationMs = (): number => this.wall
  speed = (): number => this.stationSpeed

  after: After = (ms, run) => {
    const timer = { due: this.monotonic + ms, run }
    this.#timers.push(timer)
    return () => {
      this.#timers = this.#timers.filter((other) => other !== timer)
    }
  }

  /** How many timers wait. */
  get waiting(): number {
    return this.#timers.length
  }

  /** Lets so much time pass on all clocks, running timers when they are due; between them promises settle. */
  async pass(ms: number): Promise<void> {
    const end = this.monotonic + ms
    await settled()
    for (;;) {
      const next = this.#timers.filter((timer) => timer.due <= end).sort((a, b) => a.due - b.due)[0]
      if (!next) break
      this.#moveTo(Math.max(this.monotonic, next.due))
      this.#timers = this.#timers.filter((timer) => timer !== next)
      next.run()
      await settled()
    }
    this.#moveTo(end)
    await settled()
  }

  #moveTo(monotonic: number): void {
    const by = monotonic - this.monotonic
    this.monotonic = monotonic
    this.wall += by
    this.upTime += by
  }
}

const settled = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))
