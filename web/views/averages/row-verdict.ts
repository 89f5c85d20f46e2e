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

/** What the station's decision rule makes of an average, limit by limit; abnormal ones on a plate. */
export function rowVerdicts(
  row: Pick<AverageRow, 'verdicts'>,
  limits: readonly LimitInfo[],
  decimals: number,
  uncertainty: StatedResults['uncertainty'],
): readonly TemplateResult[] {
  return row.verdicts.map(({ limit: id, verdict, complies }) => {
    const limit = limits.find((found) => found.id === id)
    const said =
      complies === null ? 'cannot be decided: its uncertainty is not known' : complies ? 'complies' : 'does not comply'
    const rule = uncertainty === null ? nothing : html` <span class="soft small">(${uses[uncertainty]})</span>`
    return html`<span class=${complies === false ? 'beyond' : 'small'}>${sides[verdict]} its limit${limit ? ` of ${limitText(limit.value, decimals)}` : ''}: ${said}</span>${rule}`
  })
}
