import type { ChannelInfo } from '../../protocols/live/messages.ts'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { valueQuantityNames } from '../../protocols/words/quantities.ts'
import { unitName } from '../format/units.ts'

/** What a copied row is of, in cells: channel, value, unit, basis, reference oxygen. */
export const copiedValue = (
  {
    channel,
    quantity,
    unit,
    basis,
    referenceOxygen,
  }: Pick<AverageRow, 'channel' | 'quantity' | 'unit' | 'basis' | 'referenceOxygen'>,
  channels: readonly ChannelInfo[],
) => [
  channels.find(({ id }) => id === channel)?.name ?? channel,
  valueQuantityNames[quantity],
  unitName(unit),
  basis,
  referenceOxygen,
]
