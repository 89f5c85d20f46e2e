import type { PlantState } from '../../../protocols/words/phases.ts'
import { longestHoldMs } from '../corrections/longest-hold.ts'
import type { StationFile } from '../settings/station-file.ts'
import { Timeline } from './timeline.ts'

/** The oldest time that is still asked about: minutes wait a day for their zero, and then little more than a day for another stream's. */
const askedBackMs = 3 * longestHoldMs

/** What the plant is doing over time; sets what coverage is measured against. */
export class PlantTracker {
  private readonly settings: StationFile['plantState']
  private readonly states: Timeline<PlantState>
  private candidate: PlantState | null = null
  private candidateMs = Number.NaN

  constructor(settings: StationFile['plantState']) {
    this.settings = settings
    this.states = new Timeline<PlantState>(settings.from === 'always-running' ? 'running' : 'unknown')
  }

  get latest(): PlantState {
    return this.states.latest
  }

  at(ms: number): PlantState {
    return this.states.at(ms)
  }

  nextChange(ms: number): number {
    return this.states.nextChange(ms)
  }

  /** The operator or a status token tells; ignored where the station's settings name another source. Returns whether it changed. */
  tell(source: 'operator' | 'status', ms: number, state: PlantState): boolean {
    return this.settings.from === source && this.set(ms, state)
  }

  private set(ms: number, state: PlantState): boolean {
    this.states.forget(ms - askedBackMs)
    return this.states.set(ms, state)
  }

  /** A value of the channel that tells; `missing` values tell nothing. */
  signal(value: number, ms: number): boolean {
    if (this.settings.from !== 'signal' || Number.isNaN(value)) return false
    const { runningAbove, offBelow, dwellSeconds } = this.settings
    const now = this.states.latest
    const next: PlantState =
      value > runningAbove
        ? 'running'
        : value < offBelow
          ? 'off'
          : now === 'running' || now === 'shut-down'
            ? 'shut-down'
            : 'start-up'
    if (next === now) {
      this.candidate = null
      return false
    }
    if (next !== this.candidate) {
      this.candidate = next
      this.candidateMs = ms
    }
    if (ms - this.candidateMs < dwellSeconds * 1000) return false
    this.candidate = null
    return this.set(ms, next)
  }

  /** Time in state running within [from, to). What nobody has told yet is taken as running: coverage is then the stricter. */
  runningMs(fromMs: number, toMs: number): number {
    let sum = 0
    for (let at = fromMs; at < toMs; ) {
      const until = Math.min(toMs, this.states.nextChange(at))
      const state = this.states.at(at)
      if (state === 'running' || state === 'unknown') sum += until - at
      at = until
    }
    return sum
  }

  counts(ms: number): boolean {
    return this.states.at(ms) === 'running'
  }
}
