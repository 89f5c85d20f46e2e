import type { Check } from '../amendments.ts'
import type { RowContext } from '../averaging/rows.ts'
import { checksOf } from './check-stretches.ts'

/** A run's checks of one channel: the system's answers, means of before and after, to the two gases. In the channel's unit. */
export interface RunBias {
  /** Answer to the low gas (C_O) and what that gas holds (C_OA). */
  readonly low: number
  readonly lowGas: number
  /** Answer to the upscale gas (C_M) and what that gas holds (C_MA). */
  readonly upscale: number
  readonly upscaleGas: number
  /** Low before and after, upscale before and after. */
  readonly checks: readonly [Check, Check, Check, Check]
}

/**
 * Mean of a run, corrected for the bias of the sampling system and its drift: (C_avg − C_M) (C_MA − C_OA) / (C_M − C_O) + C_MA; with
 * a low gas of zero this is (C_avg − C_O) C_MA / (C_M − C_O).
 *
 * NaN where the two answers do not differ in the right direction. Source: US EPA Method 7E (40 CFR 60 App. A-4), eq. 7E-5a and
 * 7E-5b; same forms as the older eq. 3A-1 and 6C-1.
 */
export function biasCorrected(mean: number, { low, lowGas, upscale, upscaleGas }: Omit<RunBias, 'checks'>): number {
  if (!(upscale > low) || !(upscaleGas > lowGas)) return Number.NaN
  return ((mean - upscale) * (upscaleGas - lowGas)) / (upscale - low) + upscaleGas
}

/**
 * The checks that bracket a run, [fromMs, toMs): of each gas the last one before it and the first one after it, or else the first in
 * its first half and the last in its second. null where one of the four is missing, or the gas before is not the gas after.
 */
export function runBias(checks: readonly Check[], channel: string, fromMs: number, toMs: number): RunBias | null {
  const [low, upscale] = (['zero', 'span'] as const).map((kind) =>
    bracket(checksOf(checks, kind, channel), fromMs, toMs),
  )
  if (!low || !upscale) return null
  const answer = ([before, after]: readonly [Check, Check]): number => (before.response + after.response) / 2
  return {
    low: answer(low),
    lowGas: low[0].expected,
    upscale: answer(upscale),
    upscaleGas: upscale[0].expected,
    checks: [...low, ...upscale],
  }
}

function bracket(own: readonly Check[], fromMs: number, toMs: number): readonly [Check, Check] | null {
  const middleMs = (fromMs + toMs) / 2
  const before =
    own.findLast(({ performedMs }) => performedMs <= fromMs) ?? own.find(({ performedMs }) => performedMs < middleMs)
  const after =
    own.find(({ performedMs }) => performedMs >= toMs) ?? own.findLast(({ performedMs }) => performedMs > middleMs)
  return before && after && before.expected === after.expected ? [before, after] : null
}

/**
 * What the rows of a run's average are made of where the station corrects run means by checks: a value `bias_corrected` for each
 * channel with all four checks, and conversions that rest on it. The same context where nothing is to be corrected.
 */
export function biasedRunContext(
  context: RowContext,
  checks: readonly Check[],
  fromMs: number,
  toMs: number,
): RowContext {
  if (context.station.corrections.bias !== 'run-means' || checks.length === 0) return context
  const found = new Map<number, RunBias>()
  context.station.channels.forEach(({ id, sumOf, origin }, index) => {
    const bias = sumOf || origin === 'computed' ? null : runBias(checks, id, fromMs, toMs)
    if (bias) found.set(index, bias)
  })
  if (found.size === 0) return context
  const judgements = new Map(context.judgements)
  const values = context.values.flatMap((value) => {
    if (value.quantity !== 'as_read' || !found.has(value.channel)) return [value]
    const corrected = { ...value, quantity: 'bias_corrected' as const, corrects: value }
    const judgement = judgements.get(value)
    if (judgement) {
      // What was compared as read is compared as corrected: one result, one verdict.
      judgements.set(corrected, judgement)
      judgements.set(value, { ...judgement, limits: new Map() })
    }
    return [value, corrected]
  })
  return {
    ...context,
    values,
    judgements,
    // What zeros and checks say of the value as read holds for the corrected one.
    driftReasons: (value, from, to) => context.driftReasons(value.corrects ?? value, from, to),
    isProvisional: (value) => context.isProvisional(value.corrects ?? value),
    unbiased: (channel, mean) => {
      const bias = found.get(channel)
      return bias ? biasCorrected(mean, bias) : mean
    },
    biasOf: (channel) => found.get(channel) ?? null,
  }
}
