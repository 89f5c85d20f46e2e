import type { ChannelInfo, PhaseSpan } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { averageKey } from '../../../protocols/words/blocks.ts'
import type { ValueQuantity } from '../../../protocols/words/quantities.ts'
import { limitText } from '../../format/numbers.ts'
import { unitName } from '../../format/units.ts'
import type { Shade } from '../../parts/phase-pattern.ts'
import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import type { TrendMarks } from '../../parts/trend-paint.ts'
import { joinedSpans } from '../../phase-spans.ts'
import type { TrendValue } from '../../picks.ts'
import type { Station } from '../../store.ts'
import { excludedWord, noLines, phaseWords } from '../../texts/phases.ts'
import { limit as limitWord } from '../../texts/trends.ts'
import { isReferredQuantity, seriesValue, type TrendFeed } from '../../trend-feed.ts'

/** The value of blocks that fits what a trend shows, the best that there is first. */
const fitting: Readonly<Record<ReturnType<typeof seriesValue>, readonly ValueQuantity[]>> = {
  asRead: ['as_read'],
  corrected: ['drift_corrected', 'as_read'],
  referred: ['at_reference_oxygen', 'mass_concentration'],
}

/** Phases and gaps of one stream in a stretch of time, for the ribbon and behind the traces. `nowMs`: the newest moment known; `leastMs`: shorter gaps are not seen anyhow; `silentSinceMs`: no line since then. */
export function ribbonParts(
  station: Station,
  feed: TrendFeed,
  stream: string,
  fromMs: number,
  nowMs: number,
  leastMs: number,
  silentSinceMs: number | null,
): RibbonPart[] {
  const ofStream = (list: readonly PhaseSpan[]) => list.filter((span) => span.stream === stream)
  const spans = joinedSpans(ofStream(feed.phaseSpans), ofStream(station.phaseSpans)).filter(
    (span) => span.startMs < nowMs && (span.endMs ?? nowMs) > fromMs,
  )
  const phases = spans.map(
    (span): RibbonPart => ({
      shade: span.phase,
      word: phaseWords[span.phase],
      startMs: span.startMs,
      endMs: Math.min(span.endMs ?? nowMs, nowMs),
    }),
  )
  const known = feed.histories.get(stream)?.gaps(fromMs, nowMs, leastMs) ?? []
  const gaps = [...known, ...(silentSinceMs === null ? [] : [{ startMs: silentSinceMs, endMs: nowMs }])]
  const excluded = excludedParts(station, stream, fromMs, nowMs)
  return [
    ...[...gaps, ...excluded.filter(({ channel }) => channel === undefined)].reduce(withoutGap, phases),
    ...gaps.map((gap): RibbonPart => ({ shade: 'gap', word: noLines, ...gap })),
    ...excluded,
  ]
}

/** What a person took out of the averages: of all channels in place of the phases, of one over them. */
const excludedParts = (station: Station, stream: string, fromMs: number, nowMs: number): RibbonPart[] =>
  (station.exclusions ?? []).flatMap((told): RibbonPart[] => {
    const channel = station.channels.find(({ id }) => id === told.channel)
    const isHere = (told.stream ?? stream) === stream && (channel?.stream ?? stream) === stream
    if (!isHere || told.fromMs >= nowMs || told.toMs <= fromMs) return []
    return [
      {
        shade: 'excluded',
        word: channel ? `${excludedWord}: ${channel.name}` : excludedWord,
        startMs: told.fromMs,
        endMs: Math.min(told.toMs, nowMs),
        ...(channel ? { channel: channel.id } : {}),
      },
    ]
  })

/** Parts with a stretch cut out of them: where no line came, no phase is known; where all is excluded, none matters. */
const withoutGap = (
  parts: readonly RibbonPart[],
  gap: { readonly startMs: number; readonly endMs: number },
): RibbonPart[] =>
  parts.flatMap((part) =>
    part.endMs <= gap.startMs || part.startMs >= gap.endMs
      ? [part]
      : [
          { ...part, endMs: gap.startMs },
          { ...part, startMs: gap.endMs },
        ].filter((piece) => piece.endMs > piece.startMs),
  )

/** What goes over one channel's trace: the means of blocks, the running one too, and the limits in the same unit. */
export function marksOf(
  station: Station,
  feed: TrendFeed,
  channel: ChannelInfo,
  value: TrendValue,
  average: string,
  parts: readonly RibbonPart[],
  nowMs: number,
): TrendMarks {
  const kind = seriesValue(station, channel, value)
  const limits = station.limits.filter(
    (limit) => limit.channel === channel.id && (kind === 'referred') === isReferredQuantity(limit.quantity),
  )
  const rows = new Map<string, AverageRow>()
  const mine = [...feed.blocks, ...station.recentBlocks, ...station.openBlocks].filter(
    (row) => row.channel === channel.id && row.average === average,
  )
  const quantity = fitting[kind].find((one) => mine.some((row) => row.quantity === one))
  for (const row of mine) if (row.quantity === quantity) rows.set(averageKey(row), row)
  const highest = Math.min(
    ...limits.filter((limit) => limit.average === average && limit.kind === 'high').map((limit) => limit.value),
  )
  const decimals = kind === 'referred' ? (channel.referred?.decimals ?? 0) : channel.decimals
  return {
    shades: parts
      .filter((part) => part.channel === undefined || part.channel === channel.id)
      .map(({ shade, startMs, endMs }): { shade: Shade; startMs: number; endMs: number } => ({
        shade,
        startMs,
        endMs,
      })),
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
