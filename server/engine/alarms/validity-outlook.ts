import { durationMs } from '../../../protocols/words/time.ts'
import { fractionParts } from '../averaging/validity.ts'
import type { StationFile } from '../settings/station-file.ts'

export type ValidityRule = StationFile['averaging']['validity']
/** `met` already; `on-course`; `at-risk` with the exclusions that are known to come; `lost` whatever comes. */
export type ValidityOutlook = 'met' | 'on-course' | 'at-risk' | 'lost'

const HOUR_MS = 3_600_000
const QUADRANT_MS = HOUR_MS / 4

/** A running block as far as its validity goes. Times: ms on the stream's axis. */
export interface CountedSoFar {
  readonly startMs: number
  readonly endMs: number
  /** Up to here it is decided what counts: now, less the hold-back where phases come from signals. */
  readonly decidedMs: number
  readonly countedMs: number
  /** The block's time in plant state running, what is still to come taken as running. */
  readonly denominatorMs: number
  /** When readings count again, as far as known; at most `decidedMs` while they count. */
  readonly countsAgainMs: number
  /** Further time that is known to be excluded before the end, ms: a scheduled purge with its settling. */
  readonly comingExcludedMs: number
  /** Counted readings: how many in each quarter of an hour, the first and the last; only asked for hours under `quadrants`. */
  readonly points: { readonly perQuadrant: readonly number[]; readonly firstMs: number; readonly lastMs: number } | null
  /** A purge or check that counts as quality assurance lies in this hour. */
  readonly hasQualityAssurance: boolean
}

export interface ValidityAhead {
  readonly validity: ValidityOutlook
  /** Counted time that the rule asks for, ms; null for quadrants, which ask for points. */
  readonly neededMs: number | null
}

/** Whether the block's validity rule is met, can be, or no longer can. */
export function validityAhead(rule: ValidityRule, block: CountedSoFar): ValidityAhead {
  if (rule.rule === 'quadrants' && block.points && block.endMs - block.startMs === HOUR_MS) {
    return {
      validity: block.hasQualityAssurance ? separatedPoints(block, block.points) : filledQuadrants(block, block.points),
      neededMs: null,
    }
  }
  const neededMs = Math.max(
    1,
    rule.rule === 'minutes' ? rule.minimum * 60_000 : share(rule.minimum, block.denominatorMs),
  )
  const possibleMs = block.countedMs + Math.max(0, block.endMs - block.decidedMs)
  const validity =
    block.countedMs >= neededMs
      ? 'met'
      : possibleMs < neededMs
        ? 'lost'
        : block.countedMs + likelyMs(block) < neededMs
          ? 'at-risk'
          : 'on-course'
  return { validity, neededMs }
}

/** Time that will likely still count, ms. */
export const likelyMs = (
  block: Pick<CountedSoFar, 'endMs' | 'decidedMs' | 'countsAgainMs' | 'comingExcludedMs'>,
): number => Math.max(0, block.endMs - Math.max(block.decidedMs, block.countsAgainMs) - block.comingExcludedMs)

/** Whether anybody needs to hear of it: the `coverage-at-risk` condition. */
export const isCoverageAtRisk = (validity: ValidityOutlook): boolean => validity === 'at-risk' || validity === 'lost'

/**
 * The block lengths whose coverage is watched: those with a limit, else the longest. A block shorter than a purge loses
 * its coverage at each purge, and an alarm for that would ask for nothing.
 */
export function coverageWatched(station: StationFile): readonly string[] {
  const withLimit = station.averaging.blocks.filter((length) =>
    station.limits.some((limit) => limit.of === 'block' && limit.average === length),
  )
  const longest = station.averaging.blocks.toSorted((a, b) => (durationMs(b) ?? 0) - (durationMs(a) ?? 0)).slice(0, 1)
  return withLimit.length > 0 ? withLimit : longest
}

/** `2/3` of a time, rounded up to whole ms, which is 3 × counted ≥ 2 × time in integers. */
function share(fraction: string, ofMs: number): number {
  const [part, whole] = fractionParts(fraction)
  return Math.ceil((part * ofMs) / whole)
}

/** Each quarter of the hour needs a point. Source: 40 CFR 60.13(h)(2)(i). */
function filledQuadrants(block: CountedSoFar, points: NonNullable<CountedSoFar['points']>): ValidityOutlook {
  const empty = [0, 1, 2, 3]
    .filter((quadrant) => !points.perQuadrant[quadrant])
    .map((quadrant) => block.startMs + (quadrant + 1) * QUADRANT_MS)
  if (empty.length === 0) return 'met'
  if (empty.some((endMs) => endMs <= block.decidedMs)) return 'lost'
  return empty.some((endMs) => endMs <= block.countsAgainMs) ? 'at-risk' : 'on-course'
}

/** In an hour with quality assurance: two points at least 15 minutes apart. Source: 40 CFR 60.13(h)(2)(iii). */
function separatedPoints(block: CountedSoFar, points: NonNullable<CountedSoFar['points']>): ValidityOutlook {
  const hasPoint = points.perQuadrant.some((count) => count > 0)
  if (hasPoint && points.lastMs - points.firstMs >= QUADRANT_MS) return 'met'
  const resumesMs = Math.max(block.decidedMs, block.countsAgainMs)
  const soonestMs = (hasPoint ? points.firstMs : block.decidedMs) + QUADRANT_MS
  const likelyAtMs = Math.max(resumesMs, (hasPoint ? points.firstMs : resumesMs) + QUADRANT_MS)
  if (block.decidedMs >= block.endMs || soonestMs >= block.endMs) return 'lost'
  return likelyAtMs >= block.endMs ? 'at-risk' : 'on-course'
}
