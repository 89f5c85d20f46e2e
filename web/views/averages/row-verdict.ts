import { html, nothing, type TemplateResult } from 'lit'
import type { LimitInfo, StatedResults } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { limitText } from '../../format/numbers.ts'
import * as averageTexts from '../../texts/averages.ts'

interface Judged {
  readonly verdict: AverageRow['verdicts'][number]
  /** `its limit of 80`. */
  readonly named: string
  readonly isUncertaintyKnown: boolean
  readonly use: StatedResults['uncertainty']
}

/** A verdict in words, and the rule by which it complies or not; null where the rule plays no part. */
export function verdictWords({ verdict: { verdict, complies }, named, isUncertaintyKnown, use }: Judged): {
  readonly said: string
  readonly rule: string | null
} {
  if (complies === null) return { said: averageTexts.notDecided(named), rule: null }
  const rule = use === null ? null : averageTexts.ruleWords[use]
  if (!isUncertaintyKnown && use !== 'ignore') return { said: averageTexts.judgedWhatever(complies, named), rule: null }
  return { said: averageTexts.judged(verdict, named, complies), rule }
}

/** What the station's decision rule makes of an average, limit by limit; what does not comply on a plate. */
export function rowVerdicts(
  row: Pick<AverageRow, 'verdicts' | 'uncertainty'>,
  limits: readonly LimitInfo[],
  decimals: number,
  use: StatedResults['uncertainty'],
): readonly TemplateResult[] {
  return row.verdicts.map((verdict) => {
    const limit = limits.find(({ id }) => id === verdict.limit)
    const named = limit ? averageTexts.itsLimitOf(limitText(limit.value, decimals)) : averageTexts.itsLimit
    const { said, rule } = verdictWords({ verdict, named, isUncertaintyKnown: row.uncertainty !== null, use })
    return html`<div class="small"><span class=${verdict.complies === false ? 'beyond' : ''}>${said}</span>${rule === null ? nothing : html` <span class="soft">(${rule})</span>`}</div>`
  })
}
