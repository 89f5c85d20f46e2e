import type { ToldPhase } from '../../../protocols/words/phases.ts'
import type { BlockGrid } from '../averaging/grid.ts'
import type { PhaseSettings } from '../settings/station-file.ts'

const minuteMs = 60_000
const dayMs = 86_400_000

/** What a schedule tells at `ms`, and the next instant at which it tells something else. Counted from local midnight. */
export function scheduled(
  schedule: NonNullable<PhaseSettings['schedule']>,
  grid: BlockGrid,
  ms: number,
): { readonly phase: ToldPhase | null; readonly untilMs: number } {
  const day = grid.block(dayMs, ms)
  let phase: ToldPhase | null = null
  let untilMs = day.endMs
  for (const entry of schedule) {
    const period = entry.everyMinutes * minuteMs
    const first = day.startMs + entry.offsetMinutes * minuteMs
    const started = first + Math.floor((ms - first) / period) * period
    const ends = started + entry.lengthSeconds * 1000
    if (ms >= first && ms < ends && phase === null) {
      phase = entry.phase
      untilMs = Math.min(untilMs, ends)
    }
    const next = ms < first ? first : started + period
    untilMs = Math.min(untilMs, next)
    if (ms >= first && ms < ends) untilMs = Math.min(untilMs, ends)
  }
  return { phase, untilMs }
}
