import type { Check } from '../amendments.ts'
import type { StationFile } from '../settings/station-file.ts'
import { takesSpanFromChecks } from './checked-span.ts'
import type { DriftStretch } from './drift-journal.ts'
import type { DriftLimit } from './drift-limit.ts'
import { isZeroed } from './zeroable.ts'

/** The checks of one kind and channel, in order of time. */
export const checksOf = (checks: readonly Check[], kind: Check['kind'], channel: string): Check[] =>
  checks
    .filter((check) => check.kind === kind && check.channel === channel)
    .sort((a, b) => a.performedMs - b.performedMs)

/** How far a check misses what it should show: the analyser's own answer where that was taken, else the gas. */
const bias = ({ response, direct, expected }: Check): number => response - (direct ?? expected)

/**
 * Stretches on which checks cast doubt, known before the run is computed. A drift that is corrected is held against the check
 * before, one that is not against the first of the run, since it adds up in the values. Beyond the limit, it casts doubt back to
 * the check before; uncorrected, forward to the next good one too. A bias beyond its limit reaches back to the last check that passed, and forward to the next that does.
 *
 * Source: US EPA Method 7E: drift forces a new check, bias voids the run; portable methods: a failed check after the run
 * voids what came since the last good one (both from memory).
 */
export function checkStretches(station: StationFile, checks: readonly Check[], limit: DriftLimit): DriftStretch[] {
  return station.channels.flatMap(({ id }, channel) =>
    limit.judges(channel)
      ? (['zero', 'span'] as const).flatMap((kind) => {
          const own = checksOf(checks, kind, id)
          const drifts = isCorrected(station, kind, channel) ? steps(own, channel, limit) : drifted(own, channel, limit)
          return [...drifts, ...biases(own, channel, limit)]
        })
      : [],
  )
}

/** Whether what the checks of a kind show is taken out of the values as it changes. */
const isCorrected = (station: StationFile, kind: 'zero' | 'span', channel: number): boolean =>
  kind === 'zero' ? isZeroed(station, channel) : takesSpanFromChecks(station, channel)

/** How far the check shows from what it should, in the channel's unit. */
const offset = ({ response, expected }: Check): number => response - expected

function steps(own: readonly Check[], channel: number, limit: DriftLimit): DriftStretch[] {
  return own.flatMap((check, place) => {
    const before = own[place - 1]
    return before && limit.isBeyond(channel, offset(check) - offset(before))
      ? [{ channel, fromMs: before.performedMs, toMs: check.performedMs, reason: limit.reason }]
      : []
  })
}

function drifted(own: readonly Check[], channel: number, limit: DriftLimit): DriftStretch[] {
  const [first] = own
  if (!first) return []
  const fails = own.map((check) => limit.isBeyond(channel, offset(check) - offset(first)))
  const edges = [...own.map(({ performedMs }) => performedMs), Number.POSITIVE_INFINITY]
  return stretchesOf(fails, edges, channel, limit.reason)
}

function biases(own: readonly Check[], channel: number, limit: DriftLimit): DriftStretch[] {
  const fails = own.map((check) => limit.isBiased(channel, bias(check)))
  const edges = [Number.NEGATIVE_INFINITY, ...own.map(({ performedMs }) => performedMs), Number.POSITIVE_INFINITY]
  return stretchesOf([false, ...fails], edges, channel, 'bias_beyond_limit')
}

/** The stretches between edges of which either end fails; an edge without an entry in `fails` does not. */
function stretchesOf(
  fails: readonly boolean[],
  edges: readonly number[],
  channel: number,
  reason: DriftStretch['reason'],
): DriftStretch[] {
  return edges
    .slice(0, -1)
    .flatMap((fromMs, place) =>
      fails[place] || fails[place + 1] ? [{ channel, fromMs, toMs: edges[place + 1] as number, reason }] : [],
    )
}
