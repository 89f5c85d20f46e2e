export interface RobustMean {
  readonly mean: number
  /** Robust standard deviation of one value; null for fewer than two. */
  readonly spread: number | null
  /** `mean` is the plain mean of the values, those beyond these bounds moved to them; null where none can lie beyond. */
  readonly bounds: Bounds | null
}
export interface Bounds {
  readonly low: number
  readonly high: number
}

const mostRounds = 100
const enough = 1e-9

/**
 * Mean and spread that a few outliers cannot pull away: Huber's estimator as "Algorithm A". The start is the median and
 * 1.483 times the median deviation from it; then values beyond 1.5 spreads are moved to that bound and both are formed anew until
 * they stand (the spread times 1.134, since moving makes it smaller). Where more than half of the values are equal, as coarse
 * resolution makes them, the start is the ordinary standard deviation.
 *
 * values: at least one, any order, finite; kept as they are. Source: ISO 13528:2015, Annex C.3 (from memory); Analytical Methods Committee, Analyst 114
 * (1989) 1693.
 */
export function robustMean(values: Float64Array): RobustMean {
  const sorted = Float64Array.from(values).sort()
  let mean = median(sorted)
  if (sorted.length < 2) return { mean, spread: null, bounds: null }
  const ordinary = deviation(sorted, average(sorted))
  let spread = 1.483 * median(Float64Array.from(sorted, (value) => Math.abs(value - mean)).sort())
  if (spread === 0) spread = ordinary
  const moved = new Float64Array(sorted.length)
  let bounds: Bounds | null = null
  for (let round = 0; round < mostRounds && spread > 0; round++) {
    const [low, high] = [mean - 1.5 * spread, mean + 1.5 * spread]
    for (let place = 0; place < sorted.length; place++)
      moved[place] = Math.min(high, Math.max(low, sorted[place] as number))
    bounds = { low, high }
    const next = average(moved)
    const narrower = 1.134 * deviation(moved, next)
    const stands = Math.abs(next - mean) <= enough * spread && Math.abs(narrower - spread) <= enough * spread
    mean = next
    spread = narrower
    if (stands) break
  }
  return { mean, spread, bounds }
}

function median(sorted: Float64Array): number {
  const middle = sorted.length >> 1
  const upper = sorted[middle] as number
  return sorted.length % 2 ? upper : ((sorted[middle - 1] as number) + upper) / 2
}

const average = (values: Float64Array): number => {
  let sum = 0
  for (const value of values) sum += value
  return sum / values.length
}

const deviation = (values: Float64Array, mean: number): number => {
  let squares = 0
  for (const value of values) squares += (value - mean) ** 2
  return Math.sqrt(squares / (values.length - 1))
}
