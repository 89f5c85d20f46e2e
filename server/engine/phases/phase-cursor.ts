import type { Phase, PhaseSource } from '../../../protocols/words/phases.ts'
import type { PhaseEvidence, Resolved } from './evidence.ts'

/**
 * Walks along the evidence in time and tells the phase of each reading, settling included.
 *
 * After any phase but `measure`, each channel waits its own time before it counts; the shown phase is `settle` until the
 * slowest has waited. The first stretch of a run does not settle by itself (docs/calculations.md).
 */
export class PhaseCursor {
  private readonly evidence: PhaseEvidence
  private readonly longestWaitMs: number
  private lastMs = Number.NaN
  private readonly resolved: Resolved = { phase: 'unknown', cause: 'nothing-told', untilMs: Number.NEGATIVE_INFINITY }
  private version = -1
  private untilMs = Number.NEGATIVE_INFINITY
  /** What was told last, without settling; null before the run's first reading. */
  private told: Phase | null = null
  private toldFromMs = Number.NaN
  /** The shown phase: `settle` while the slowest channel waits. */
  phase: Phase = 'unknown'
  cause: PhaseSource | 'settling' | 'run-start' | 'nothing-told' = 'nothing-told'
  startMs = Number.NaN
  /** When the gas to be measured came back; a channel with wait w counts from `measureFromMs + w` on. */
  measureFromMs = Number.NEGATIVE_INFINITY

  constructor(evidence: PhaseEvidence, longestWaitMs: number) {
    this.evidence = evidence
    this.longestWaitMs = longestWaitMs
  }

  /** Moves to `ms`. Returns whether the shown phase changed; `startMs` then tells since when. */
  moveTo(ms: number): boolean {
    if (ms < this.untilMs && this.version === this.evidence.version) {
      this.lastMs = ms
      return false
    }
    const { resolved } = this
    this.version = this.evidence.version
    const passed = this.passedUntil(ms)
    this.evidence.resolve(ms, resolved)
    const told = resolved.phase
    const start = this.evidence.latestChange(ms)
    if (told === 'measure' && this.told === 'measure' && passed > Number.NEGATIVE_INFINITY) this.measureFromMs = passed
    if (told !== this.told) {
      const first = this.told === null
      if (told === 'measure') this.measureFromMs = first ? Number.NEGATIVE_INFINITY : start
      this.told = told
      this.toldFromMs = first ? ms : start
    }
    const settledMs = this.measureFromMs + this.longestWaitMs
    const settling = told === 'measure' && ms < settledMs
    const shown: Phase = settling ? 'settle' : told
    this.untilMs = settling ? Math.min(resolved.untilMs, settledMs) : resolved.untilMs
    if (shown === this.phase && !Number.isNaN(this.startMs)) return false
    this.startMs =
      shown === 'measure' && settledMs > this.toldFromMs ? Math.max(this.toldFromMs, settledMs) : this.toldFromMs
    this.phase = shown
    this.cause = settling ? 'settling' : resolved.cause
    return true
  }

  /** When the last phase ended that lay wholly between the reading before and this one, and was no measuring; −∞ where none did. */
  private passedUntil(ms: number): number {
    const { resolved } = this
    let ended = Number.NEGATIVE_INFINITY
    for (let at = this.evidence.nextChange(this.lastMs); at <= ms; at = resolved.untilMs) {
      this.evidence.resolve(at, resolved)
      if (resolved.phase !== 'measure' && resolved.untilMs <= ms) ended = resolved.untilMs
    }
    this.lastMs = ms
    return ended
  }

  /** When the slowest channel has waited. */
  settledMs(): number {
    return this.measureFromMs + this.longestWaitMs
  }

  /** The end of the stretch in which the told phase stays the same, for cutting represented time at phase edges. */
  toldUntilMs(): number {
    return this.resolved.untilMs
  }

  /** Starts anew: the next reading is the first of a run. */
  restart(): void {
    this.told = null
    this.lastMs = Number.NaN
    this.phase = 'unknown'
    this.version = -1
    this.untilMs = Number.NEGATIVE_INFINITY
    this.startMs = Number.NaN
    this.measureFromMs = Number.NEGATIVE_INFINITY
  }
}
