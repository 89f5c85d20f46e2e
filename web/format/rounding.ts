import type { StatedResults } from '../../protocols/live/messages.ts'
import { numberText } from './numbers.ts'

/** A number as digits · 10^-scale, from its shortest decimal text. */
interface Digits {
  readonly negative: boolean
  readonly digits: bigint
  readonly scale: number
}

function digitsOf(value: number): Digits {
  const [mantissa = '0', exponent = '0'] = String(Math.abs(value)).split('e')
  const [whole = '0', fraction = ''] = mantissa.split('.')
  const scale = fraction.length - Number(exponent)
  const digits = BigInt(whole + fraction)
  return scale >= 0
    ? { negative: value < 0, digits, scale }
    : { negative: value < 0, digits: digits * 10n ** BigInt(-scale), scale: 0 }
}

/** Rounded once, from the decimal text, so that ties are those that a reader sees: 1.005 to two decimals is one. */
export function roundedTo(value: number, decimals: number, ties: StatedResults['ties']): number {
  if (!Number.isFinite(value)) return value
  const { negative, digits, scale } = digitsOf(value)
  if (scale <= decimals) return value
  const unit = 10n ** BigInt(scale - decimals)
  const kept = digits / unit
  const twice = 2n * (digits % unit)
  const isUp = twice > unit || (twice === unit && (ties === 'half-away' || kept % 2n === 1n))
  return Number(`${negative ? '-' : ''}${kept + (isUp ? 1n : 0n)}e-${decimals}`)
}

/** Decimals that give so many significant figures, the digit into which rounding carries counted in. */
export function decimalsFor(value: number, figures: number, ties: StatedResults['ties']): number {
  if (!Number.isFinite(value) || value === 0) return figures - 1
  const decimals = (of: number) => Math.max(0, figures - 1 - Number(of.toExponential().split('e')[1]))
  const wanted = decimals(value)
  return decimals(roundedTo(value, wanted, ties) || value)
}

/** A result as the station states it: rounded by its rule; `decimals` where the rule names none. */
export function resultText(value: number, decimals: number, stated: StatedResults): string {
  const { ties, significantFigures } = stated
  const wanted =
    significantFigures === null ? (stated.decimals ?? decimals) : decimalsFor(value, significantFigures, ties)
  return numberText(roundedTo(value, wanted, ties), wanted)
}
