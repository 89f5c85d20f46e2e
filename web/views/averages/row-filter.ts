import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { type ValueQuantity, valueQuantities } from '../../../protocols/words/quantities.ts'

export interface RowFilter {
  /** Empty: the one that the limits are set for. */
  readonly average: string
  readonly channel: string
  readonly quantity: ValueQuantity | 'most-referred' | ''
  readonly only: 'all' | 'valid' | 'invalid'
}

/** How far a value is from what was read, along the stages; a mass rate stands beside the referred value, not above it. */
const stage = (row: AverageRow) => (row.quantity === 'mass_rate' ? -1 : valueQuantities.indexOf(row.quantity))

/** Rows that fit, newest first, channels in the order in which they came. */
export function rowsShown(rows: readonly AverageRow[], { channel, quantity, only }: RowFilter): AverageRow[] {
  const furthest = new Map<string, number>()
  for (const row of rows) furthest.set(row.channel, Math.max(furthest.get(row.channel) ?? -1, stage(row)))
  const order = [...furthest.keys()]
  return rows
    .filter(
      (row) =>
        (channel === '' || row.channel === channel) &&
        (quantity === '' ||
          (quantity === 'most-referred' ? stage(row) === furthest.get(row.channel) : row.quantity === quantity)) &&
        (only === 'all' || row.valid === (only === 'valid')),
    )
    .sort(
      (one, other) =>
        other.startMs - one.startMs ||
        order.indexOf(one.channel) - order.indexOf(other.channel) ||
        stage(one) - stage(other),
    )
}
