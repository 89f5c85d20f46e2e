import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { Accumulator } from './accumulator.ts'

export type ValidityRule = StationFile['averaging']['validity']

const hourMs = 3_600_000
const quarterMs = 900_000

/** The settings' fractions, read once each: they are asked for with every row. */
const fractions = new Map<string, readonly [numerator: number, denominator: number]>()

/** `2/3` → [2, 3]. */
export function fractionParts(text: string): readonly [numerator: number, denominator: number] {
  const known = fractions.get(text)
  if (known) return known
  const [numerator = '2', denominator = '3'] = text.split('/')
  const parts = [Number(numerator), Number(denominator)] as const
  fractions.set(text, parts)
  return parts
}

/** Compared as integers, so that exactly two thirds is enough: 3 × counted ≥ 2 × denominator (EN 17255-1, from memory; practice older than the standard). */
function coverageReaches(countedMs: number, denominatorMs: number, minimum: string): boolean {
  const [numerator, denominator] = fractionParts(minimum)
  return denominator * Math.round(countedMs) >= numerator * Math.round(denominatorMs)
}

const bits = (mask: number): number => [1, 2, 4, 8].filter((bit) => mask & bit).length

/**
 * Why a group's average is invalid; empty when it is valid.
 *
 * `lengthMs`: nominal length of the block. `denominatorMs`: its time in plant state running.
 * `quadrants`: 40 CFR 60.13(h)(2): an hour needs a counted reading in each quarter in which the plant ran; with
 * quality-assurance work two readings at least 15 minutes apart, or one where the plant ran in one quarter only
 * ((iii)(A), (B)). Other lengths than an hour use the fraction.
 */
export function invalidity(
  rule: ValidityRule,
  total: Accumulator,
  group: number,
  lengthMs: number,
  denominatorMs: number,
): BlockReason[] {
  if (denominatorMs <= 0) return ['not_operating']
  const countedMs = total.weightMs[group] as number
  const count = total.count[group] as number
  if (count === 0 || countedMs === 0) return ['nothing_counted']
  switch (rule.rule) {
    case 'fraction':
      return coverageReaches(countedMs, denominatorMs, rule.minimum) ? [] : ['coverage_low']
    case 'minutes':
      return Math.round(countedMs) >= 60_000 * rule.minimum ? [] : ['minutes_short']
    case 'quadrants': {
      if (lengthMs !== hourMs) return coverageReaches(countedMs, denominatorMs, rule.minimum) ? [] : ['coverage_low']
      const operated = total.operatedQuadrants
      if (total.qualityAssurance) {
        if (bits(operated) <= 1) return []
        return (total.lastMs[group] as number) - (total.firstMs[group] as number) >= quarterMs
          ? []
          : ['points_too_close']
      }
      return (total.quadrants[group]! & operated) === operated ? [] : ['quadrant_empty']
    }
  }
}
