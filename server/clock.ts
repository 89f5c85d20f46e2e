import { uptime } from 'node:os'

/** The three clocks of the machine, ms. `uptimeMs` goes on while the computer sleeps, `monotonicMs` stands still then. */
export interface MachineClocks {
  wallMs(): number
  monotonicMs(): number
  uptimeMs(): number
}
/** On Linux `os.uptime` has a resolution of 10 ms. */
export const machineClocks: MachineClocks = {
  wallMs: () => Date.now(),
  monotonicMs: () => performance.now(),
  uptimeMs: () => uptime() * 1000,
}

/** Runs something once after so many real milliseconds; the returned function calls it off. */
export type After = (ms: number, run: () => void) => () => void
export const realAfter: After = (ms, run) => {
  const timer = setTimeout(run, ms)
  return () => clearTimeout(timer)
}

/**
 * Station time: whole ms since 1970 UTC. It is the wall clock at the start plus monotonic time × speed: however the wall
 * clock jumps afterwards, it is never stepped and never goes back within a process.
 */
export interface StationClock {
  stationMs(): number
  /** Whole milliseconds of the process's monotonic clock; always real time. */
  monotonicMs(): number
  /** Station seconds per real second. */
  speed(): number
  /** From now on at this speed; ends a catching up. */
  setSpeed(speed: number): void
  /**
   * From now on at this speed until station time meets the wall clock (as it was at the start, plus monotonic time), then
   * at 1. `met` is told the instant, once; at once, but not synchronously, where station time is not behind.
   */
  catchUp(speed: number, met: (atMs: number) => void): void
  /** Drops the timer of a catching up. */
  stop(): void
}

export interface StationClockOptions {
  readonly clocks?: MachineClocks
  readonly after?: After
  /** Station time at the start; the wall clock unless given. */
  readonly startMs?: number
  /** Station time begins no earlier than this: the last recorded instant, so that a recording's order holds. */
  readonly notBeforeMs?: number
  readonly speed?: number
}

const longestTimerMs = 2 ** 31 - 1

export function stationClock(options: StationClockOptions = {}): StationClock {
  const clocks = options.clocks ?? machineClocks
  const after = options.after ?? realAfter
  const zero = clocks.monotonicMs()
  const wallAtZero = clocks.wallMs()
  const wallAt = (monotonic: number): number => wallAtZero + (monotonic - zero)

  // Straight pieces: `station` at `monotonic`, from there on with `slope`, up to `meets` (where it joins the wall clock).
  let station = Math.max(options.startMs ?? wallAtZero, options.notBeforeMs ?? Number.NEGATIVE_INFINITY)
  let monotonic = zero
  let slope = checkedSpeed(options.speed ?? 1)
  let meets = Number.POSITIVE_INFINITY
  let cancelTimer = (): void => {}

  const stationAt = (now: number): number => (now < meets ? station + (now - monotonic) * slope : wallAt(now))
  const bendHere = (speed: number): number => {
    const now = clocks.monotonicMs()
    station = stationAt(now)
    monotonic = now
    slope = speed
    meets = Number.POSITIVE_INFINITY
    cancelTimer()
    return now
  }

  const waitForMeeting = (met: (atMs: number) => void): void => {
    const left = Math.max(0, meets - clocks.monotonicMs())
    cancelTimer = after(Math.min(Math.ceil(left), longestTimerMs), () => {
      if (clocks.monotonicMs() < meets) waitForMeeting(met)
      else met(Math.floor(wallAt(meets)))
    })
  }

  return {
    stationMs: () => Math.floor(stationAt(clocks.monotonicMs())),
    monotonicMs: () => Math.floor(clocks.monotonicMs()),
    speed: () => (clocks.monotonicMs() < meets ? slope : 1),
    setSpeed(speed) {
      bendHere(checkedSpeed(speed))
    },
    catchUp(speed, met) {
      const now = bendHere(checkedSpeed(speed))
      const behind = wallAt(now) - station
      if (behind <= 0) {
        // Nothing to catch up: station time stays ahead rather than stepping back.
        slope = 1
        const at = Math.floor(station)
        cancelTimer = after(0, () => met(at))
        return
      }
      if (speed <= 1)
        throw new RangeError(`a speed of ${speed} never catches up with the wall clock; it must be above 1`)
      meets = now + behind / (speed - 1)
      waitForMeeting(met)
    },
    stop: () => cancelTimer(),
  }
}

function checkedSpeed(speed: number): number {
  if (!(speed > 0 && Number.isFinite(speed))) throw new RangeError(`the speed of a clock must be above 0, not ${speed}`)
  return speed
}

/** `step`: the wall clock jumped alone. `sleep`: uptime went on without monotonic time. Sizes in ms; a step back is negative. */
export interface ClockChange {
  readonly change: 'step' | 'sleep'
  readonly byMs: number
}
export interface ClockWatchOptions {
  readonly clocks?: MachineClocks
  readonly after?: After
  readonly everyMs?: number
}

/** A wall clock that differs by less from what monotonic time explains is taken as reading error (our choice: a step of 30 ms is always seen). */
export const smallestStepMs = 25
/** Less is below what the resolution of uptime, 10 ms, tells safely (our choice). */
export const smallestSleepMs = 100
/** When reading the three clocks took longer, they do not belong together: the process was held up in between. */
const longestReadingMs = 2

/**
 * Looks at the three clocks again and again (every second) and tells what jumped since the last look, sleep before step.
 * Differences below the thresholds are not added up: a wall clock that runs a little fast is drift, not steps.
 * Returns the function that ends the watch.
 */
export function watchClock(onChange: (change: ClockChange) => void, options: ClockWatchOptions = {}): () => void {
  const clocks = options.clocks ?? machineClocks
  const after = options.after ?? realAfter
  let last = readTogether(clocks)

  const look = (): void => {
    const now = readTogether(clocks)
    if (now && last) {
      const passed = now.monotonic - last.monotonic
      const asleep = now.uptime - last.uptime - passed
      const sleepMs = asleep >= smallestSleepMs ? asleep : 0
      const stepMs = now.wall - last.wall - passed - sleepMs
      if (sleepMs) onChange({ change: 'sleep', byMs: Math.round(sleepMs) })
      if (Math.abs(stepMs) >= smallestStepMs) onChange({ change: 'step', byMs: Math.round(stepMs) })
    }
    last = now ?? last
    cancel = after(options.everyMs ?? 1000, look)
  }
  let cancel = after(options.everyMs ?? 1000, look)
  return () => cancel()
}

interface Reading {
  readonly wall: number
  readonly monotonic: number
  readonly uptime: number
}

/** null when no try of five gave three readings close together; the next look then compares with the last good one. */
function readTogether(clocks: MachineClocks): Reading | null {
  for (let tries = 0; tries < 5; tries++) {
    const before = clocks.monotonicMs()
    const wall = clocks.wallMs()
    const up = clocks.uptimeMs()
    const behind = clocks.monotonicMs()
    if (behind - before <= longestReadingMs) return { wall, monotonic: (before + behind) / 2, uptime: up }
  }
  return null
}
