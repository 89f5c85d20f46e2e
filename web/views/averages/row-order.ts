import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { orderWords } from '../../texts/averages.ts'

export type OrderBy = keyof typeof orderWords
export interface RowOrder {
  readonly by: OrderBy
  readonly down: boolean
}
export const usualOrder: RowOrder = { by: 'time', down: true }

/** Invalid ones first, then what is provisional: that is what is looked for. */
const validity = (row: AverageRow) => (row.state === 'open' ? 1 : row.valid ? (row.state === 'final' ? 3 : 2) : 0)
const keys: Readonly<Record<Exclude<OrderBy, 'channel'>, (row: AverageRow) => number | null>> = {
  time: (row) => row.startMs,
  mean: (row) => row.mean,
  minimum: (row) => row.minimum,
  maximum: (row) => row.maximum,
  deviation: (row) => row.standardDeviation,
  coverage: (row) => row.coverage,
  validity,
}

/** In the order asked for; rows that are equal in it keep the one they had, those without a value come last either way. */
export function ordered(
  rows: readonly AverageRow[],
  { by, down }: RowOrder,
  channels: readonly Pick<ChannelInfo, 'id'>[],
): AverageRow[] {
  const place = new Map(channels.map(({ id }, index) => [id, index]))
  const key = by === 'channel' ? (row: AverageRow) => place.get(row.channel) ?? channels.length : keys[by]
  const sign = down ? -1 : 1
  return [...rows].sort((one, other) => {
    const [first, second] = [key(one), key(other)]
    if (first === null || second === null) return Number(first === null) - Number(second === null)
    return sign * (first - second)
  })
}

/** Pressing a heading: the same one turns about, another begins with what is looked for: newest, highest, most doubtful. */
export const pressed = (now: RowOrder, by: OrderBy): RowOrder =>
  now.by === by ? { by, down: !now.down } : { by, down: by !== 'channel' && by !== 'validity' && by !== 'coverage' }
