import { Decimal } from 'decimal.js'
import type { ResultSettings } from '../settings/results-shape.ts'

export type Ties = ResultSettings['rounding']['ties']
/** To so many decimals, or to so many significant figures. */
export type Digits = { readonly decimals: number } | { readonly significantFigures: number }

const modes = { 'half-even': Decimal.ROUND_HALF_EVEN, 'half-away': Decimal.ROUND_HALF_UP } as const

/**
 * A number rounded once, from its decimal text: a double's shortest text that reads back, so that 1.005 is a tie although
 * no double is.
 *
 * value: a number, or decimal text. Returns text with all its digits (`50.0`); a zero has no sign. Empty for what is no
 * finite number. Source: ASTM E29 and 40 CFR 1065.20(e) (half to even); half away from zero is common in the EU.
 */
export function roundedText(value: number | string, digits: Digits, ties: Ties): string {
  const exact = decimalOf(value)
  if (exact === null) return ''
  const mode = modes[ties]
  if ('decimals' in digits) return unsigned(exact.toFixed(digits.decimals, mode))
  const rounded = exact.toSignificantDigits(digits.significantFigures, mode)
  // 0.0999 to two figures is 0.10: the digit that rounding carried into counts too.
  const decimals = Math.max(0, digits.significantFigures - 1 - (rounded.isZero() ? 0 : rounded.e))
  return unsigned(rounded.toFixed(decimals))
}

export const rounded = (value: number, digits: Digits, ties: Ties): number =>
  Number.isFinite(value) ? Number(roundedText(value, digits, ties)) : value

/** Decimals of a number's shortest text: 50 has none, 0.15 two. */
export const decimalsOf = (value: number): number => decimalOf(value)?.decimalPlaces() ?? 0

function decimalOf(value: number | string): Decimal | null {
  if (typeof value === 'string' && !/^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/.test(value)) return null
  const exact = new Decimal(value)
  return exact.isFinite() ? exact : null
}

const unsigned = (text: string): string => (/^-[0.]*$/.test(text) ? text.slice(1) : text)
