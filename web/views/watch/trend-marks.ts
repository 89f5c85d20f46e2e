import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import type { ValueQuantity } from '../../../protocols/words/quantities.ts'
import type { Unit } from '../../../protocols/words/units.ts'
import { limitText } from '../../format/numbers.ts'
import { unitName } from '../../format/units.ts'
import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import type { TrendMarks } from '../../parts/trend-paint.ts'
import type { TrendValue } from '../../picks.ts'
import type { Station } from '../../store.ts'
import { limit as limitWord } from '../../texts/trends.ts'
import { isReferredQuantity, seriesValue, type TrendFeed } from '../../trend-feed.ts'
import { foldedParts } from './folded-parts.ts'

/** The value of blocks that fits what a trend shows, the best that there is first. */
const fitting: Readonly<Record<ReturnType<typeof seriesValue>, readonly ValueQuantity[]>> = {
  asRead: ['as_read'],
  corrected: ['drift_corrected', 'as_read'],
  referred: ['at_reference_oxygen', 'mass_concentration'],
}

type Step = Pick<AverageRow, 'startMs' | 'endMs' | 'mean' | 'valid'> & Partial<Pick<AverageRow, 'state'>>

/** What the charts of one stream shade, and what they leave out of their scale. */
export interface StreamStretches {
  /** For the ribbon, folded to what a picture can show. */
  readonly parts: readonly RibbonPart[]
  /** The same behind the traces. */
  readonly shades: TrendMarks['shades']
  /** Each stretch that does not count, however short, in order. */
  readonly apart: TrendMarks['apart']
  /** Excluded of one channel alone. */
  readonly ofChannels: readonly RibbonPart[]
  /** All that is found in the stretch, for the legend. */
  readonly words: ReadonlySet<string>
}

/** `exact`: in order; `columnMs`: the time of a pixel. */
export function streamStretches(exact: readonly RibbonPart[], columnMs: number): StreamStretches {
  const parts = foldedParts(exact, columnMs)
  const ofAll = (part: RibbonPart) => part.channel === undefined
  return {
    parts,
    shades: parts.filter((part) => ofAll(part) && !part.isMark),
    apart: exact.filter((part) => ofAll(part) && part.shade !== 'measure'),
    ofChannels: exact.filter((part) => !ofAll(part)),
    words: new Set(exact.map(({ word }) => word)),
  }
}

const withOwn = (
  shades: TrendMarks['shades'],
  apart: TrendMarks['apart'],
  own: readonly RibbonPart[],
): Pick<TrendMarks, 'shades' | 'apart'> => ({
  shades: [...shades, ...own],
  apart: [...apart, ...own].sort((one, other) => one.startMs - other.startMs),
})

/** What goes over one channel's trace: the means of blocks, the running one too, and the limits in the same unit. */
export function marksOf(
  station: Station,
  feed: Pick<TrendFeed, 'average' | 'steps'>,
  channel: ChannelInfo,
  value: TrendValue,
  average: string,
  { shades, apart, ofChannels }: StreamStretches,
  nowMs: number,
): TrendMarks {
  const kind = seriesValue(station, channel, value)
  // A limit may ask for the same gas in another unit than the chart's.
  const isShown = (of: { readonly channel: string; readonly unit: Unit }) =>
    of.channel === channel.id && of.unit === (kind === 'referred' ? channel.referred?.unit : channel.unit)
  const limits = station.limits.filter(
    (limit) => isShown(limit) && (kind === 'referred') === isReferredQuantity(limit.quantity),
  )
  // Another length was chosen and is asked for: until it comes, no mean stands for one of that length.
  const told = feed.average === average ? feed.steps.get(channel.id) : undefined
  const live = [...station.recentBlocks, ...station.openBlocks].filter((row) => isShown(row) && row.average === average)
  const quantity = fitting[kind].find((one) => one === told?.quantity || live.some((row) => row.quantity === one))
  const rows = new Map<number, Step>()
  if (told?.quantity === quantity) for (const row of told?.rows ?? []) rows.set(row.startMs, row)
  for (const row of live) if (row.quantity === quantity) rows.set(row.startMs, row)
  const highest = Math.min(
    ...limits.filter((limit) => limit.average === average && limit.kind === 'high').map((limit) => limit.value),
  )
  const decimals = kind === 'referred' ? (channel.referred?.decimals ?? 0) : channel.decimals
  const own = ofChannels.filter((part) => part.channel === channel.id)
  return {
    ...(own.length === 0 ? { shades, apart } : withOwn(shades, apart, own)),
    steps: [...rows.values()]
      .filter((row) => row.mean !== null && row.startMs < nowMs && (row.state === 'open' || row.endMs <= nowMs))
      .map((row) => ({
        startMs: row.startMs,
        endMs: Math.min(row.endMs, nowMs),
        mean: row.mean ?? 0,
        valid: row.valid,
        isOpen: row.state === 'open',
        isBeyond: row.valid && row.state !== 'open' && (row.mean ?? 0) > highest,
      })),
    limits: limits.map((limit) => ({
      value: limit.value,
      label: limitWord(`${limitText(limit.value, decimals)} ${unitName(limit.unit)}`),
    })),
    flags: station.logbook.filter((entry) => entry.kind === 'note').map((entry) => entry.atMs),
  }
}
