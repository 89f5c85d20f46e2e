import type { Check } from '../amendments.ts'
import { between } from '../quality/drift.ts'
import type { StationFile } from '../settings/station-file.ts'
import { checksOf } from './check-stretches.ts'
import { takesSpanFromChecks } from './checked-span.ts'
import { DriftLimit } from './drift-limit.ts'

/** A channel of which the span factor is to be kept up to date. */
interface Corrected {
  readonly index: number
  spanFactor: number
}

/** What a span check found: reading per unit of gas, its zero taken off; and the check it is from. */
export interface SpanFound {
  readonly atMs: number
  readonly sensitivity: number
  readonly check: Check
  /** The zero check whose offset was taken off; null where there is none. */
  readonly zero: Check | null
}

/**
 * Span factors from checks: gas / (response − zero), the zero being that of the channel's zero check nearest in time, or none.
 *
 * Between two checks the sensitivity lies on the line between theirs, before the first and after the last it is theirs; it is taken at
 * the start of each minute. A drift that is too small to be corrected leaves the first one's in force.
 * Source: c = c_ref (x − z) / (s − z), z and s linear in time (practice as in EN 14792 and EN 15058, from memory).
 */
export class SpanFactors {
  private readonly found: ReadonlyMap<number, readonly SpanFound[]>

  constructor(station: StationFile, checks: readonly Check[]) {
    const limit = new DriftLimit(station, checks)
    this.found = new Map(
      station.channels.flatMap(({ id }, index) => {
        if (!takesSpanFromChecks(station, index)) return []
        const own = held(spansFound(checks, id), (shown) => limit.isCorrected(index, shown))
        return own.length > 0 ? [[index, own] as const] : []
      }),
    )
  }

  isChecked(channel: number): boolean {
    return this.found.has(channel)
  }

  /** What gives the factors of [fromMs, toMs]: the checks within, and those just before and after; none where the station file tells them. */
  foundBetween(channel: number, fromMs: number, toMs: number): readonly SpanFound[] {
    const own = this.found.get(channel) ?? []
    const [first] = around(own, fromMs)
    const [, last] = around(own, toMs)
    return first && last ? own.filter(({ atMs }) => atMs >= first.atMs && atMs <= last.atMs) : []
  }

  /** The factor of a channel at `ms`; null where no check tells it. */
  factorAt(channel: number, ms: number): number | null {
    const [before, after] = around(this.found.get(channel) ?? [], ms)
    if (!before || !after) return null
    const span = after.atMs - before.atMs
    const share = span > 0 ? (ms - before.atMs) / span : 0
    return 1 / between(before.sensitivity, after.sensitivity, share)
  }

  /** A minute begins at `ms`: the factors of these channels are renewed. */
  moveTo(ms: number, channels: readonly Corrected[]): void {
    if (this.found.size === 0) return
    for (const channel of channels) {
      const factor = this.factorAt(channel.index, ms)
      if (factor !== null) channel.spanFactor = factor
    }
  }
}

function spansFound(checks: readonly Check[], channel: string): SpanFound[] {
  const zeros = checksOf(checks, 'zero', channel)
  return checksOf(checks, 'span', channel).flatMap((check) => {
    const away = ({ performedMs }: Check): number => Math.abs(performedMs - check.performedMs)
    const zero = zeros.reduce<Check | null>((near, one) => (near && away(near) <= away(one) ? near : one), null)
    const shown = check.response - (zero ? zero.response - zero.expected : 0)
    const sensitivity = shown / check.expected
    return check.expected > 0 && sensitivity > 0 ? [{ atMs: check.performedMs, sensitivity, check, zero }] : []
  })
}

/** Leaves out checks that moved too little from the last one kept. `isWorth`: whether a change of what is shown of the gas is. */
function held(own: readonly SpanFound[], isWorth: (shown: number) => boolean): SpanFound[] {
  const kept: SpanFound[] = []
  for (const one of own) {
    const before = kept.at(-1)
    if (!before || isWorth((one.sensitivity - before.sensitivity) * one.check.expected)) kept.push(one)
  }
  return kept
}

/** The neighbours of an instant, or the nearest one twice. */
function around(own: readonly SpanFound[], ms: number): readonly [SpanFound | undefined, SpanFound | undefined] {
  const before = own.findLast(({ atMs }) => atMs <= ms) ?? own[0]
  return [before, own.find(({ atMs }) => atMs >= ms) ?? own.at(-1)]
}
