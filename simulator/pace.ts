import { setTimeout as wait } from 'node:timers/promises'

/** Lines leave in batches of at least this much real time, so that a fast night does not wake the process for each line. */
const TICK_MS = 15

/** Ties simulated time to real time by one anchor, so that nothing adds up over a night. Real time is monotonic, ms. */
export interface Pace {
  /** Simulated time up to which lines are due; Infinity at `fastest`. */
  dueMs(): number
  /** Waits until a line of this time is due, one tick at least; ends early when the signal aborts. */
  until(atMs: number, signal: AbortSignal): Promise<void>
  /** Simulated time stood still for so many real ms. */
  stoodStill(realMs: number): void
  /** From here on: this speed, and this simulated time is now. */
  set(speed: number, simulatedMs: number): void
}

/** speed: simulated seconds per real second; Infinity for as fast as the link takes it. */
export function makePace(startMs: number, startSpeed: number, monotonicMs: () => number): Pace {
  let speed = startSpeed
  let anchorReal = monotonicMs()
  let anchorSimulated = startMs
  return {
    dueMs: () =>
      speed === Number.POSITIVE_INFINITY
        ? Number.POSITIVE_INFINITY
        : anchorSimulated + (monotonicMs() - anchorReal) * speed,
    async until(atMs, signal) {
      const ahead = (atMs - anchorSimulated) / speed - (monotonicMs() - anchorReal)
      await wait(Math.min(1000, Math.max(TICK_MS, ahead)), null, { signal }).catch(() => {}) // told to stop: the loop sees the signal
    },
    stoodStill(realMs) {
      anchorReal += realMs
    },
    set(newSpeed, simulatedMs) {
      speed = newSpeed
      anchorReal = monotonicMs()
      anchorSimulated = simulatedMs
    },
  }
}
