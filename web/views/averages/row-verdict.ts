import { html, nothing, type TemplateResult } from 'lit'
import type { LimitInfo, StatedResults } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { limitText } from '../../format/numbers.ts'

const sides = { below: 'below', above: 'above', undecided: 'within its uncertainty of' } as const
const uses = {
  subtract: 'uncertainty subtracted',
  add: 'uncertainty added',
  ignore: 'uncertainty not regarded',
} as const

/** What the station's decision rule makes of an average, limit by limit; what does not comply on a plate. */
export function rowVerdicts(
  row: Pick<AverageRow, 'verdicts' | 'uncertainty'>,
  limits: readonly LimitInfo[],
  decimals: number,
  uncertainty: StatedResults['uncertainty'],
): readonly TemplateResult[] {
  return row.verdicts.map(({ limit: id, verdict, complies }) => {
    const limit = limits.find((found) => found.id === id)
    const named = `its limit${limit ? ` of ${limitText(limit.value, decimals)}` : ''}`
    const isUnknown = row.uncertainty === null && uncertainty !== 'ignore'
    const said =
      complies === null
        ? `not decided against ${named}: its uncertainty is not known`
        : isUnknown
          ? `${complies ? 'complies with' : 'does not comply with'} ${named}, whatever its uncertainty`
          : `${sides[verdict]} ${named}: ${complies ? 'complies' : 'does not comply'}`
    const rule = uncertainty === null || isUnknown ? nothing : html` <span class="soft">(${uses[uncertainty]})</span>`
    return html`<div class="small"><span class=${complies === false ? 'beyond' : ''}>${said}</span>${rule}</div>`
  })
}
