import type { ResultSettings } from '../settings/results-shape.ts'
import { type Digits, roundedText } from './rounding.ts'

/** What is stated of a mean and compared with a limit, before any rounding. The mean itself stays as it is. */
export interface StatedResult {
  readonly value: number
  /** The mean lies below the detection limit. */
  readonly isBelowDetection: boolean
}

type Small = Pick<ResultSettings, 'negative' | 'belowDetection'>

/**
 * Small results by the station's rule: at the last step, since cutting readings off would raise every mean.
 *
 * mean, detectionLimit: in one unit; null where no detection limit is known. Source: EPA GD-51 (2009) for a result
 * below detection, 40 CFR 1065.601 for keeping negative ones in the mean; other choices are common practice.
 */
export function statedResult(
  mean: number,
  detectionLimit: number | null,
  { negative, belowDetection }: Small,
): StatedResult {
  const isBelowDetection = detectionLimit !== null && mean < detectionLimit
  const value = isBelowDetection ? substitute(mean, detectionLimit, belowDetection) : mean
  return { value: negative === 'zero' ? Math.max(0, value) : value, isBelowDetection }
}

function substitute(mean: number, detectionLimit: number, by: ResultSettings['belowDetection']): number {
  switch (by) {
    case 'as-read':
      return mean
    case 'detection-limit':
      return detectionLimit
    case 'half':
      return detectionLimit / 2
    case 'zero':
      return 0
  }
}

/** The stated result as text, rounded once; `<2.0` where the detection limit stands for it. */
export function statedText(
  { value, isBelowDetection }: StatedResult,
  digits: Digits,
  { rounding, belowDetection }: Pick<ResultSettings, 'rounding' | 'belowDetection'>,
): string {
  const text = roundedText(value, digits, rounding.ties)
  return isBelowDetection && belowDetection === 'detection-limit' ? `<${text}` : text
}

/** Digits of stated results: those of the settings, else `decimals`, the channel's. */
export const digitsOf = ({ decimals, significantFigures }: ResultSettings['rounding'], otherwise: number): Digits =>
  significantFigures !== undefined ? { significantFigures } : { decimals: decimals ?? otherwise }
