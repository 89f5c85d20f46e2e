import {
  type CountedSoFar,
  likelyMs,
  type ValidityAhead,
  type ValidityOutlook,
  type ValidityRule,
  validityAhead,
} from './validity-outlook.ts'

/** A block is judged once this share of it has counted, and a minute at least. Our choice: earlier, a single swing decides. */
const LEAST_SHARE = 0.1
const LEAST_MS = 60_000
/** The rest of the block is taken to lie within so many standard deviations about the newest level (about 95 %). Not divided by the root of the count: neighbouring readings of a flue gas go together. */
const SPREADS = 2

/** A running block that has a limit. Values in the limit's unit and quantity. */
export interface RunningBlock extends CountedSoFar {
  readonly limit: {
    readonly id: string
    readonly channel: string
    readonly kind: 'high' | 'low'
    readonly value: number
  }
  readonly average: string
  /** Mean so far; null while nothing counted or it cannot be formed. */
  readonly mean: number | null
  /** The newest level and its standard deviation. */
  readonly level: number | null
  readonly spread: number | null
}

/** Where a running block is heading against its limit, as the screens show it. Advice, never an exceedance. */
export interface Outlook {
  readonly limit: string
  readonly channel: string
  readonly average: string
  readonly startMs: number
  readonly endMs: number
  readonly soFar: number | null
  readonly likelyLow: number | null
  readonly likelyHigh: number | null
  readonly heading: 'below' | 'above' | 'undecided' | 'cannot-tell'
  /** Were the newest level to hold: the moment from which the mean ends above a high limit even if nothing but zeros followed; null where that does not come. */
  readonly reachesLimitMs: number | null
  readonly validity: ValidityOutlook
  readonly countedMs: number
  readonly neededMs: number | null
}

/**
 * Looks ahead: mean so far and what is likely still to count, at the newest level ± two standard deviations.
 * `above` and `below` say where the mean will likely end relative to the limit, for high and low limits alike.
 * Our choice of method; the look-ahead as advice: common practice, no source.
 */
export function outlookOf(block: RunningBlock, rule: ValidityRule): Outlook {
  const { limit, average, startMs, endMs, mean, countedMs } = block
  const ahead = validityAhead(rule, block)
  const fixed = {
    limit: limit.id,
    channel: limit.channel,
    average,
    startMs,
    endMs,
    soFar: mean,
    countedMs,
    ...ahead,
  } satisfies Partial<Outlook> & ValidityAhead
  if (
    mean === null ||
    block.level === null ||
    block.spread === null ||
    countedMs < Math.max(LEAST_MS, LEAST_SHARE * (endMs - startMs))
  ) {
    return { ...fixed, likelyLow: null, likelyHigh: null, heading: 'cannot-tell', reachesLimitMs: null }
  }
  const restMs = likelyMs(block)
  const ending = (level: number): number => (mean * countedMs + level * restMs) / (countedMs + restMs)
  const likelyLow = ending(block.level - SPREADS * block.spread)
  const likelyHigh = ending(block.level + SPREADS * block.spread)
  // At the limit itself neither kind is passed: a high limit is passed above it, a low one below it.
  const isAbove = limit.kind === 'high' ? likelyLow > limit.value : likelyLow >= limit.value
  const isBelow = limit.kind === 'high' ? likelyHigh <= limit.value : likelyHigh < limit.value
  const heading = isAbove ? 'above' : isBelow ? 'below' : 'undecided'
  return {
    ...fixed,
    likelyLow,
    likelyHigh,
    heading,
    reachesLimitMs: limit.kind === 'high' ? reachesLimit(block, mean, block.level, restMs) : null,
  }
}

/**
 * Whether the advice stands. It comes when the block will likely end past its limit and goes when it will likely not,
 * or nothing can be told; in between it stays as it was, so that it does not flicker. A new block begins without it.
 */
export function advises({ heading }: Pick<Outlook, 'heading'>, kind: 'high' | 'low', didBefore: boolean): boolean {
  if (heading === 'undecided') return didBefore
  return heading === (kind === 'high' ? 'above' : 'below')
}

/** Gas values below zero are noise, so zero is the lowest that can follow. */
function reachesLimit(block: RunningBlock, mean: number, level: number, restMs: number): number | null {
  const missing = block.limit.value * (block.countedMs + restMs) - mean * block.countedMs
  if (missing < 0) return block.decidedMs
  if (level <= 0 || missing / level >= restMs) return null
  return Math.max(block.decidedMs, block.countsAgainMs) + missing / level
}
