import { compileProfile } from '../compile-profile.ts'
import type { LineProfile } from '../profile.ts'
import { fieldFlag, harmlessRefusals, type RefusalReason } from '../reader.ts'
import type { SampleCounts } from './proposal.ts'

export interface Trial extends SampleCounts {
  /** Values per line read. */
  readonly values: number
  /** Median step between the lines’ own times, seconds; null without. */
  readonly stepSeconds: number | null
  /** Places of the lines that were refused and are not harmless. */
  readonly refusedLines: readonly number[]
}

/** Gives times of day a date while a proposal is tried; which day is of no account. 1 January 2024, 12:00 UTC. */
const someNoon = Date.UTC(2024, 0, 1, 12)

function median(numbers: number[]): number | null {
  if (numbers.length === 0) return null
  return numbers.sort((one, other) => one - other)[Math.floor(numbers.length / 2)] ?? null
}

/** Reads the lines by a profile, as the station will: a proposal is worth what it reads. */
export function tryProfile(profile: LineProfile, lines: readonly Uint8Array[]): Trial {
  const reader = compileProfile(profile, { stationZone: 'UTC', unendedCounts: true })
  const refused: Partial<Record<RefusalReason, number>> = {}
  const refusedLines: number[] = []
  const steps: number[] = []
  let read = 0
  let harmless = 0
  let values = 0
  let before = Number.NaN
  for (const [place, line] of lines.entries()) {
    const outcome = reader.read(line, someNoon, 'whole')
    if (!outcome.ok) {
      refused[outcome.reason] = (refused[outcome.reason] ?? 0) + 1
      if (harmlessRefusals.has(outcome.reason)) harmless++
      else refusedLines.push(place)
      continue
    }
    read++
    for (const flag of reader.content.flags) if (flag === fieldFlag.value) values++
    const { lineTimeMs } = reader.content
    if (lineTimeMs > before) steps.push((lineTimeMs - before) / 1000)
    before = lineTimeMs
  }
  return {
    given: lines.length,
    read,
    harmless,
    refused,
    refusedLines,
    values: read === 0 ? 0 : values / read,
    stepSeconds: median(steps),
  }
}
