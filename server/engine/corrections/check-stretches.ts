import type { Check } from '../amendments.ts'
import type { StationFile } from '../settings/station-file.ts'
import type { DriftStretch } from './drift-journal.ts'
import type { DriftLimit } from './drift-limit.ts'

/** The checks of one kind and channel, in order of time. */
export const checksOf = (checks: readonly Check[], kind: Check['kind'], channel: string): Check[] =>
  checks
    .filter((check) => check.kind === kind && check.channel === channel)
    .sort((a, b) => a.performedMs - b.performedMs)

/** How far a check misses what it should show: the analyser's own answer where that was taken, else the gas. */
const bias = ({ response, direct, expected }: Check): number => response - (direct ?? expected)

/**
 * Stretches on which checks cast doubt, known before the run is computed. A drift beyond the limit reaches from the check before
 * to the one after it; a bias beyond its limit reaches back to the last check that passed, and forward to the next that does.
 *
 * Source: US EPA Method 7E: drift forces a new check, bias voids the run; portable methods: a failed check after the run
 * voids what came since the last good one (both from memory).
 */
export function checkStretches(station: StationFile, checks: readonly Check[], limit: DriftLimit): DriftStretch[] {
  return station.channels.flatMap(({ id }, channel) =>
    limit.judges(channel)
      ? (['zero', 'span'] as const).flatMap((kind) => {
          const own = checksOf(checks, kind, id)
          return [...drifts(own, channel, limit), ...biases(own, channel, limit)]
        })
      : [],
  )
}

function drifts(own: readonly Check[], channel: number, limit: DriftLimit): DriftStretch[] {
  return own.flatMap((check, place) => {
    const before = own[place - 1]
    const moved = before ? check.response - check.expected - (before.response - before.expected) : 0
    return before && limit.isBeyond(channel, moved)
      ? [{ channel, fromMs: before.performedMs, toMs: check.performedMs, reason: limit.reason }]
      : []
  })
}

function biases(own: readonly Check[], channel: number, limit: DriftLimit): DriftStretch[] {
  const fails = own.map((check) => limit.isBiased(channel, bias(check)))
  const edges = [Number.NEGATIVE_INFINITY, ...own.map(({ performedMs }) => performedMs), Number.POSITIVE_INFINITY]
  return edges
    .slice(0, -1)
    .flatMap((fromMs, place) =>
      fails[place - 1] || fails[place]
        ? [{ channel, fromMs, toMs: edges[place + 1] as number, reason: 'bias_beyond_limit' as const }]
        : [],
    )
}
