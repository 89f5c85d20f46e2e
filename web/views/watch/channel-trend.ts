import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { averageLengthMs } from '../../../protocols/words/time.ts'
import { axisUnitText, channelUnitText, referredUnitText } from '../../format/units.ts'
import type { Picture } from '../../history.ts'
import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import type { TrendMarks } from '../../parts/trend-paint.ts'
import { axisRange, countedExtremes, type ScaleWish } from '../../parts/trend-scale.ts'
import type { Beside } from '../../parts/trend-strip.ts'
import type { Session } from '../../session.ts'
import type { Station } from '../../store.ts'
import { seriesValue } from '../../trend-feed.ts'
import { stepFor } from './table-steps.ts'
import { marksOf, type StreamStretches } from './trend-marks.ts'
import type { TableOf } from './trend-table.ts'

/** The stretch shown, and the present. */
export interface Shown {
  readonly fromMs: number
  readonly toMs: number
  readonly nowMs: number
}
/** All that one chart draws. */
export interface ChannelTrend {
  readonly picture: Picture
  readonly marks: TrendMarks
  readonly decimals: number
  /** With its basis and reference oxygen. */
  readonly unit: string
  /** The same, as short as an axis needs it. */
  readonly axisUnit: string
  readonly scale: ScaleWish
}

export function channelTrend(
  session: Session,
  station: Station,
  channel: ChannelInfo,
  stretches: StreamStretches,
  { fromMs, toMs, nowMs }: Shown,
): ChannelTrend {
  const { feed, shownAverage, trendPixels } = session
  const { trendValue } = session.route
  const marks = marksOf(station, feed, channel, trendValue, shownAverage, stretches, nowMs)
  const referred = seriesValue(station, channel, trendValue) === 'referred' ? channel.referred : null
  const decimals = referred?.decimals ?? channel.decimals
  // The trace ends at the present: a playback has loaded more than it may show.
  const until = Math.min(toMs, nowMs)
  const pixels = (trendPixels * (until - fromMs)) / (toMs - fromMs)
  return {
    picture: feed.histories.get(channel.stream)?.picture(channel.id, fromMs, until, pixels) ?? { x: [], y: [] },
    marks,
    decimals,
    unit: referred ? referredUnitText(referred) : channelUnitText(channel),
    axisUnit: axisUnitText(referred ?? channel),
    scale: {
      fromZero: channel.species !== null && channel.unit !== 'vol%',
      limits: marks.limits.map((limit) => limit.value),
      leastSpan: channel.unit === 'vol%' ? 2 : 10 ** -decimals * 8,
    },
  }
}

/** A channel as it is laid over the others: its own axis at the right, without its limits. */
export function besideOf(
  { name }: ChannelInfo,
  { picture, marks, decimals, unit, axisUnit, scale }: ChannelTrend,
  padMs: number,
): Beside {
  const values = picture.y.filter((value) => value !== null)
  const [low, high] = countedExtremes(picture, marks.apart, padMs) ?? [
    values.length ? Math.min(...values) : null,
    values.length ? Math.max(...values) : null,
  ]
  return { name, unit, axisUnit, decimals, picture, range: axisRange(low, high, { ...scale, limits: [] }) }
}

/** The same chart as a table. */
export const tableOf = (
  session: Session,
  station: Station,
  channel: ChannelInfo,
  parts: readonly RibbonPart[],
  trend: ChannelTrend,
  { fromMs, toMs, nowMs }: Shown,
): TableOf => ({
  name: channel.name,
  unit: trend.unit,
  decimals: trend.decimals,
  zone: station.clock,
  fromMs,
  toMs: Math.min(toMs, nowMs),
  parts,
  steps:
    (averageLengthMs(session.shownAverage) ?? 0) >= stepFor(Math.min(toMs, nowMs) - fromMs) ? trend.marks.steps : null,
  values: (stepMs) =>
    session.feed.histories
      .get(channel.stream)
      ?.steps(channel.id, Math.ceil(fromMs / stepMs) * stepMs, Math.min(toMs, nowMs), stepMs) ?? [],
})
