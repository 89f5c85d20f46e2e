import type { Percent, Quantity } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

type Concentration = Quantity<'concentration'>

/** A value between two checks, linear in time; `share` of the interval that has passed, 0…1. Source: plain interpolation; common practice. */
export const between = (before: number, after: number, share: number): number => before + (after - before) * share

/** Value less the zero interpolated to its time. Unit as the values'. NaN outside the interval: drift is not extrapolated. Source: common practice. */
export const zeroCorrected = (value: number, zeroBefore: number, zeroAfter: number, share: number): number =>
  validValue<Concentration>(value - between(zeroBefore, zeroAfter, share), share >= 0, share <= 1)

/**
 * Value by zero and span interpolated to its time: c_ref (x − z) / (s − z).
 *
 * NaN where span and zero do not differ, and outside the interval.
 * Source: (measurement − zero) / span of an open atmospheric-chemistry package; linear in time.
 */
export const zeroAndSpanCorrected = (
  value: number,
  zero: { readonly before: number; readonly after: number },
  span: { readonly before: number; readonly after: number; readonly gas: number },
  share: number,
): number => {
  const [z, s] = [between(zero.before, zero.after, share), between(span.before, span.after, share)]
  return validValue<Concentration>((span.gas * (value - z)) / (s - z), s > z, share >= 0, share <= 1)
}

/** Drift-corrected mean by checks before and after: c_z + (c_s − c_z) (2x − (z₁ + z₂)) / ((s₁ + s₂) − (z₁ + z₂)). Source: 40 CFR 1065.672(d)(2) (procedure read, equation and digits from memory). */
export const meanDriftCorrected = (
  value: number,
  zero: { readonly before: number; readonly after: number; readonly gas: number },
  span: { readonly before: number; readonly after: number; readonly gas: number },
): number => {
  const zeros = zero.before + zero.after
  const spans = span.before + span.after
  return validValue<Concentration>(
    zero.gas + ((span.gas - zero.gas) * (2 * value - zeros)) / (spans - zeros),
    spans > zeros,
  )
}

/** Drift between two checks, % of span: 100 (post − pre) / span. Source: practice of Method 7E and ASTM D6522. */
export const spanDrift = (before: number, after: number, span: number): Percent =>
  validValue<Percent>((100 * (after - before)) / span, span > 0)
