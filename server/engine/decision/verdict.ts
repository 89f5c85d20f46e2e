import { Decimal } from 'decimal.js'
import type { UncertaintyUse, Verdict } from '../../../protocols/words/verdicts.ts'
import type { ResultSettings } from '../settings/results-shape.ts'
import { type Digits, roundedText } from './rounding.ts'

/** A limit as results are compared with it, in the result's unit. */
export interface ComparedLimit {
  readonly kind: 'high' | 'low'
  readonly value: number
  /** Its last digit, for comparison by rounding. */
  readonly digits: Digits
}

/** Digits in which means are compared: beyond them is only what binary arithmetic leaves. Our choice; a mean of readings of 80.1 must not exceed 80.1. */
const comparedDigits = 12

export interface DecisionRule {
  readonly uncertainty: UncertaintyUse
  readonly comparison: ResultSettings['comparison']
  readonly ties: ResultSettings['rounding']['ties']
}

export interface Decision {
  readonly verdict: Verdict
  /** null: the rule needs the uncertainty, and it is not known. */
  readonly complies: boolean | null
}

/**
 * On which side of its limit a result lies, and whether it complies by the rule chosen.
 *
 * result, U (expanded uncertainty, k = 2; null: not known) and limit in one unit. A result at the limit complies.
 * `ignore`: simple acceptance, without regard to U (JCGM 106:2012, 8.2): below or above, never undecided.
 * `subtract`, `add`: below when result + U does not pass the limit, above when result − U passes it, else undecided
 * (ILAC-G8's bands, its two conditional ones taken together). An undecided result complies under `subtract`, where an
 * excess must be proven (guarded rejection, 8.3.3), and does not under `add`, where compliance must be (guarded
 * acceptance, 8.3.2). For a limit that must not be fallen short of, all of it mirrored. Clauses from memory.
 * Compared in decimal arithmetic; with `rounded`, result, result − U and result + U are each rounded once to the
 * limit's last digit (ASTM E29, rounding method).
 */
export function decide(
  result: number,
  expandedUncertainty: number | null,
  limit: ComparedLimit,
  rule: DecisionRule,
): Decision {
  const { kind } = limit
  const side = (passes: boolean): Verdict => (passes === (kind === 'high') ? 'above' : 'below')
  const passesAsIs = passes(new Decimal(result), limit, rule)
  if (rule.uncertainty === 'ignore') return { verdict: side(passesAsIs), complies: !passesAsIs }
  if (expandedUncertainty === null)
    return { verdict: 'undecided', complies: passesAsIs === (rule.uncertainty === 'add') ? !passesAsIs : null }
  const outwards = new Decimal(kind === 'high' ? expandedUncertainty : -expandedUncertainty)
  const mayPass = passes(outwards.plus(result), limit, rule)
  const surelyPasses = passes(new Decimal(result).minus(outwards), limit, rule)
  return {
    verdict: surelyPasses ? side(true) : mayPass ? 'undecided' : side(false),
    complies: rule.uncertainty === 'subtract' ? !surelyPasses : !mayPass,
  }
}

function passes(
  value: Decimal,
  { kind, value: limit, digits }: ComparedLimit,
  { comparison, ties }: DecisionRule,
): boolean {
  const clean = value.toSignificantDigits(comparedDigits)
  const compared = comparison === 'rounded' ? new Decimal(roundedText(clean.toFixed(), digits, ties)) : clean
  return kind === 'high' ? compared.greaterThan(limit) : compared.lessThan(limit)
}
