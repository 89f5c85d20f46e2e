import type { Check } from '../amendments.ts'
import { biasCorrectedWithLowGas } from '../quality/analyser-checks.ts'
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
 * Mean of a run, corrected for the bias of the sampling system and its drift: eq. 7E-5a, which with a low gas of zero is 7E-5b.
 * NaN where the two answers do not differ in the right direction.
 */
export function biasCorrected(mean: number, { low, lowGas, upscale, upscaleGas }: Omit<RunBias, 'checks'>): number {
  return biasCorrectedWithLowGas(mean, low, upscale, lowGas, upscaleGas)
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
