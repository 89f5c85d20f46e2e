import type { Phase, PhaseSource, ToldPhase } from '../../../protocols/words/phases.ts'
import type { BlockGrid } from '../averaging/grid.ts'
import type { PhaseSettings } from '../settings/station-file.ts'
import { scheduled } from './from-schedule.ts'
import { Timeline } from './timeline.ts'

/** What holds at an instant, who told it, and until when at the earliest. */
export interface Resolved {
  phase: Phase
  cause: PhaseSource | 'nothing-told'
  untilMs: number
}

/** `unknown`: the source tells something that nobody knows, null: it tells nothing. Both leave the word to the next source. */
type Told = ToldPhase | 'unknown' | null

/**
 * What each source tells of a stream's phase. The first source in the station's order that has something to tell wins;
 * a later one that tells otherwise is a conflict.
 */
export class PhaseEvidence {
  private readonly settings: PhaseSettings
  private readonly grid: BlockGrid
  private readonly told: Readonly<Record<PhaseSource, Timeline<Told>>> = {
    status: new Timeline<Told>(null),
    operator: new Timeline<Told>(null),
    schedule: new Timeline<Told>(null),
    signal: new Timeline<Told>(null),
  }
  /** The same, of the sources that the station asks, in its order. */
  private readonly asked: readonly (readonly [PhaseSource, Timeline<Told>])[]
  private scheduleUntilMs = Number.NEGATIVE_INFINITY
  /** Goes up with each change, so that who has looked knows when to look again. */
  version = 0

  constructor(settings: PhaseSettings, grid: BlockGrid) {
    this.settings = settings
    this.grid = grid
    this.asked = settings.from.map((source) => [source, this.told[source]])
  }

  tell(source: Exclude<PhaseSource, 'schedule'>, fromMs: number, phase: Told): void {
    if (this.settings.from.includes(source) && this.told[source].set(fromMs, phase)) this.version++
  }

  /** Brings the schedule up to `ms`; returns when it tells something else. */
  followSchedule(ms: number): number {
    const { schedule } = this.settings
    if (!schedule || !this.settings.from.includes('schedule')) return Number.POSITIVE_INFINITY
    if (this.scheduleUntilMs === Number.NEGATIVE_INFINITY) {
      const now = scheduled(schedule, this.grid, ms)
      if (this.told.schedule.set(ms, now.phase)) this.version++
      this.scheduleUntilMs = now.untilMs
    }
    while (this.scheduleUntilMs <= ms) {
      const from = this.scheduleUntilMs
      const next = scheduled(schedule, this.grid, from)
      if (this.told.schedule.set(from, next.phase)) this.version++
      this.scheduleUntilMs = next.untilMs
    }
    return this.scheduleUntilMs
  }

  /** What the schedule tells next, for screens. */
  nextScheduled(): { readonly phase: Phase; readonly atMs: number } | null {
    const { schedule } = this.settings
    if (!schedule || this.scheduleUntilMs === Number.NEGATIVE_INFINITY) return null
    return {
      phase: scheduled(schedule, this.grid, this.scheduleUntilMs).phase ?? 'measure',
      atMs: this.scheduleUntilMs,
    }
  }

  resolve(ms: number, into: Resolved): Resolved {
    into.phase = this.settings.otherwise
    into.cause = 'nothing-told'
    into.untilMs = Number.POSITIVE_INFINITY
    let found = false
    for (const [source, told] of this.asked) {
      const phase = found ? null : told.at(ms)
      // Where no source knows better, such a word must not pass for measuring.
      if (phase === 'unknown') into.phase = phase
      else if (phase !== null) {
        into.phase = phase
        into.cause = source
        found = true
      }
      into.untilMs = Math.min(into.untilMs, told.nextChange(ms))
    }
    return into
  }

  /** The first instant after `ms` at which a source tells something else; Infinity where none is known. */
  nextChange(ms: number): number {
    let next = Number.POSITIVE_INFINITY
    for (const [, told] of this.asked) next = Math.min(next, told.nextChange(ms))
    return next
  }

  /** The newest instant at or before `ms` at which any source changed what it told; `ms` where none did. */
  latestChange(ms: number): number {
    let latest = Number.NEGATIVE_INFINITY
    for (const [, told] of this.asked) latest = Math.max(latest, told.changeBefore(ms))
    return latest === Number.NEGATIVE_INFINITY ? ms : latest
  }

  /** Sources that tell different phases at `ms`; null when they agree. */
  conflict(ms: number): string | null {
    const tellings = this.asked
      .map(([source, told]) => [source, told.at(ms)] as const)
      .filter(([, phase]) => phase !== null && phase !== 'unknown')
    return new Set(tellings.map(([, phase]) => phase)).size > 1
      ? tellings.map(([source, phase]) => `${source} tells ${phase}`).join(', ')
      : null
  }

  forget(ms: number): void {
    for (let next = 0; next < this.asked.length; next++) this.asked[next]?.[1].forget(ms)
  }
}
