import type { LimitInfo } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { detectionWords, verdictWords } from '../../texts/averages.ts'

export type Verdict = keyof typeof verdictWords
/** What a row may carry beside its mean; a station of an older version leaves it out. */
export interface RowExtras {
  /** Expanded uncertainty, k = 2, in the row's unit. */
  readonly uncertainty?: number | null
  readonly detection?: keyof typeof detectionWords | null
  readonly verdicts?: readonly { readonly limit: string; readonly verdict: Verdict }[]
}
export const extrasOf = (row: AverageRow & RowExtras): RowExtras => row

export interface RowVerdict {
  readonly limit: LimitInfo
  readonly verdict: Verdict
}

/** How a row stands to its limits. Where the station gives no verdict, an ended, valid mean is compared as it is. */
export function verdictsOf(row: AverageRow & RowExtras, limits: readonly LimitInfo[]): RowVerdict[] {
  if (!row.valid || row.state === 'open' || row.mean === null) return []
  if (row.verdicts?.length)
    return row.verdicts.flatMap(({ limit, verdict }) => {
      const found = limits.find(({ id }) => id === limit)
      return found ? [{ limit: found, verdict }] : []
    })
  const { mean } = row
  return limits
    .filter(
      (limit) =>
        limit.channel === row.channel &&
        limit.quantity === row.quantity &&
        limit.average === row.average &&
        limit.unit === row.unit,
    )
    .map((limit) => ({
      limit,
      verdict: (limit.kind === 'high' ? mean > limit.value : mean >= limit.value) ? 'above' : 'below',
    }))
}

/** Whether a verdict is on the wrong side: above a highest value, below a lowest one. */
export const isBeyond = ({ limit, verdict }: RowVerdict): boolean =>
  verdict === (limit.kind === 'high' ? 'above' : 'below')
