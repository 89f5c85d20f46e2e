import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { valueQuantities } from '../../../protocols/words/quantities.ts'
import type { RowFilter } from '../../picks.ts'

/** How far a value is from what was read, along the stages; a mass rate stands beside the referred value, not above it. */
const stage = (row: AverageRow) => (row.quantity === 'mass_rate' ? -1 : valueQuantities.indexOf(row.quantity))

/** No id begins with a sign. */
export const supportingOnes = '+supporting'

/** Rows that fit, newest first, channels in the station's order. */
export function rowsShown(
  rows: readonly AverageRow[],
  { channel, quantity, only }: RowFilter,
  channels: readonly Pick<ChannelInfo, 'id' | 'supporting'>[],
): AverageRow[] {
  const furthest = new Map<string, number>()
  for (const row of rows) furthest.set(row.channel, Math.max(furthest.get(row.channel) ?? -1, stage(row)))
  const order = new Map(channels.map(({ id }, index) => [id, index]))
  const place = (row: AverageRow) => order.get(row.channel) ?? channels.length
  const wanted = new Set(
    channel === '' || channel === supportingOnes
      ? channels.filter(({ supporting }) => supporting === (channel === supportingOnes)).map(({ id }) => id)
      : [channel],
  )
  return rows
    .filter(
      (row) =>
        wanted.has(row.channel) &&
        (quantity === '' ||
          (quantity === 'most-referred' ? stage(row) === furthest.get(row.channel) : row.quantity === quantity)) &&
        (only === 'all' || row.valid === (only === 'valid')),
    )
    .sort((one, other) => other.startMs - one.startMs || place(one) - place(other) || stage(one) - stage(other))
}
