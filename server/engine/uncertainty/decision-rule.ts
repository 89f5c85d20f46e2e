import type { Quantity } from '../../../protocols/words/units.ts'
import { decimalsOf } from '../decision/rounding.ts'
import { type ComparedLimit, type DecisionRule, decide } from '../decision/verdict.ts'
import { validValue } from '../valid-value.ts'

/** Error function, off by at most 1.5e-7. Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 7.1.26. */
function errorFunction(x: number): number {
  const t = 1 / (1 + 0.3275911 * Math.abs(x))
  const polynomial = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429))))
  return Math.sign(x) * (1 - polynomial * Math.exp(-x * x))
}

/** Probability that the true value lies at or below an upper limit: Φ((limit − value) / u), normally distributed. Source: JCGM 106:2012, 7.3. */
export const conformanceProbability = (value: number, standardUncertainty: number, limit: number): Quantity<'1'> =>
  validValue<Quantity<'1'>>(
    (1 + errorFunction((limit - value) / standardUncertainty / Math.SQRT2)) / 2,
    standardUncertainty > 0,
  )

export const bands = ['pass', 'conditional pass', 'conditional fail', 'fail'] as const
export type Band = (typeof bands)[number]

/**
 * Which of four bands a value lies in, guard band w = U: pass up to limit − U, conditional pass up to the limit,
 * conditional fail up to limit + U, fail above; edges as the station's verdicts have them. null without a number. Source: JCGM 106:2012 with the bands of ILAC-G8:2019.
 */
export function bandOf(value: number, expandedUncertainty: number, limit: number): Band | null {
  if (![value, expandedUncertainty, limit].every(Number.isFinite) || expandedUncertainty < 0) return null
  const { verdict } = decide(value, expandedUncertainty, upper(limit), excessProven)
  if (verdict !== 'undecided') return verdict === 'below' ? 'pass' : 'fail'
  const { complies } = decide(value, null, upper(limit), { ...excessProven, uncertainty: 'ignore' })
  return complies ? 'conditional pass' : 'conditional fail'
}

/** The doubt favours the operator; compared as it is, so that digits and ties play no part. */
const excessProven: DecisionRule = { uncertainty: 'subtract', comparison: 'absolute', ties: 'half-even' }
const upper = (limit: number): ComparedLimit => ({
  kind: 'high',
  value: limit,
  digits: { decimals: decimalsOf(limit) },
})

/**
 * Whether a value less its expanded uncertainty does not exceed the limit: the doubt favours the operator. Other regimes add it. The
 * station's own rule `subtract`. Source: 1. BImSchV (2010), Annex 2 no. 2.3.
 */
export function isCompliantInDoubt(value: number, expandedUncertainty: number, limit: number): boolean {
  if (![value, expandedUncertainty, limit].every(Number.isFinite)) return false
  return decide(value, expandedUncertainty, upper(limit), excessProven).complies === true
}
