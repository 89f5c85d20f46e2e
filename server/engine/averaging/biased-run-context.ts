import type { Check } from '../amendments.ts'
import { biasCorrected, type RunBias, runBias } from '../corrections/run-bias.ts'
import type { RowContext } from './row-context.ts'

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
    isZeroSubtracted: (value) => context.isZeroSubtracted(value.corrects ?? value),
    isProvisional: (value) => context.isProvisional(value.corrects ?? value),
    unbiased: (channel, mean) => {
      const bias = found.get(channel)
      return bias ? biasCorrected(mean, bias) : mean
    },
    biasOf: (channel) => found.get(channel) ?? null,
  }
}
