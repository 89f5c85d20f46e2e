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

/** A few readings, one of them far off, may take hundreds of rounds until they stand. */
const mostRounds = 10_000
/** Share of the spread. A second party that repeats until nothing moves arrives at the same in as many digits. */
const enough = 1e-14

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
  const sorted = values.slice().sort()
  const centre = median(sorted)
  if (sorted.length < 2) return { mean: centre, spread: null, bounds: null }
  // From here on about the median: sums of such small numbers lose nothing to the size of the values.
  const offsets = sorted
  for (let place = 0; place < offsets.length; place++) offsets[place] = (sorted[place] as number) - centre
  const sums = new SortedSums(offsets)
  let mean = 0
  let bounds: Bounds | null = null
  let spread = 1.483 * median(sizes(offsets))
  if (spread === 0) spread = sums.within(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY).deviation
  for (let round = 0; round < mostRounds && spread > 0; round++) {
    const low = mean - 1.5 * spread
    const high = mean + 1.5 * spread
    bounds = { low: centre + low, high: centre + high }
    const next = sums.within(low, high)
    const narrower = 1.134 * next.deviation
    const stands = Math.abs(next.mean - mean) <= enough * spread && Math.abs(narrower - spread) <= enough * spread
    mean = next.mean
    spread = narrower
    if (stands) break
  }
  return { mean: centre + mean, spread, bounds }
}

/** Sums over the first so many of sorted values, so that a round need not go through all of them again. */
class SortedSums {
  private readonly sorted: Float64Array
  private readonly sums: Float64Array
  private readonly squares: Float64Array

  constructor(sorted: Float64Array) {
    this.sorted = sorted
    this.sums = new Float64Array(sorted.length + 1)
    this.squares = new Float64Array(sorted.length + 1)
    for (let place = 0; place < sorted.length; place++) {
      const value = sorted[place] as number
      this.sums[place + 1] = (this.sums[place] as number) + value
      this.squares[place + 1] = (this.squares[place] as number) + value * value
    }
  }

  /** Mean and standard deviation (n − 1) with the values beyond [low, high] moved to that bound. */
  within(low: number, high: number): { readonly mean: number; readonly deviation: number } {
    const { sorted, sums, squares } = this
    const count = sorted.length
    const from = firstFrom(sorted, low)
    const to = firstFrom(sorted, high)
    const below = from > 0 ? low : 0
    const above = to < count ? high : 0
    const sum = (sums[to] as number) - (sums[from] as number) + from * below + (count - to) * above
    const square =
      (squares[to] as number) - (squares[from] as number) + from * below * below + (count - to) * above * above
    const mean = sum / count
    return { mean, deviation: Math.sqrt(Math.max(0, square - sum * mean) / (count - 1)) }
  }
}

/** Place of the first of sorted values that is not below `bound`; their number where all are. */
function firstFrom(sorted: Float64Array, bound: number): number {
  let low = 0
  let high = sorted.length
  while (low < high) {
    const middle = (low + high) >> 1
    if ((sorted[middle] as number) < bound) low = middle + 1
    else high = middle
  }
  return low
}

/** The sizes of sorted values, sorted: those below zero, from the last back, and those above it lie in order already. */
function sizes(sorted: Float64Array): Float64Array {
  const found = new Float64Array(sorted.length)
  let above = firstFrom(sorted, 0)
  let below = above - 1
  for (let place = 0; place < found.length; place++) {
    const up = above < sorted.length ? (sorted[above] as number) : Number.POSITIVE_INFINITY
    const down = below >= 0 ? -(sorted[below] as number) : Number.POSITIVE_INFINITY
    found[place] = Math.min(up, down)
    if (up <= down) above++
    else below--
  }
  return found
}

function median(sorted: Float64Array): number {
  const middle = sorted.length >> 1
  const upper = sorted[middle] as number
  return sorted.length % 2 ? upper : ((sorted[middle - 1] as number) + upper) / 2
}
