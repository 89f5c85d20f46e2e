import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import { joinedSpans } from '../../phase-spans.ts'
import type { Station } from '../../store.ts'
import { excludedWord, noLines, phaseWords } from '../../texts/phases.ts'
import type { TrendFeed } from '../../trend-feed.ts'

/** Phases and gaps of one stream in a stretch of time, in order. `nowMs`: the newest moment known, or the end of the stretch; `leastMs`: shorter gaps are not seen anyhow; `silentSinceMs`: no line since then. */
export function ribbonParts(
  station: Station,
  feed: TrendFeed,
  stream: string,
  fromMs: number,
  nowMs: number,
  leastMs: number,
  silentSinceMs: number | null,
): RibbonPart[] {
  const told = station.phaseSpans.filter((span) => span.stream === stream)
  const phases = joinedSpans(feed.phaseSpans.get(stream) ?? [], told, fromMs, nowMs).map(
    (span): RibbonPart => ({
      shade: span.phase,
      word: phaseWords[span.phase],
      startMs: span.startMs,
      endMs: Math.min(span.endMs ?? nowMs, nowMs),
    }),
  )
  const known = feed.histories.get(stream)?.gaps(fromMs, nowMs, leastMs) ?? []
  const gaps = [
    ...known,
    ...(silentSinceMs === null || silentSinceMs >= nowMs ? [] : [{ startMs: silentSinceMs, endMs: nowMs }]),
  ]
  const excluded = excludedParts(station, stream, fromMs, nowMs)
  const over = [...gaps, ...excluded.filter(({ channel }) => channel === undefined)]
  if (over.length === 0 && excluded.length === 0) return phases
  return [
    ...without(phases, over),
    ...gaps.map((gap): RibbonPart => ({ shade: 'gap', word: noLines, ...gap })),
    ...excluded,
  ].sort((one, other) => one.startMs - other.startMs)
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

/** Parts in order, with stretches cut out of them: where no line came, no phase is known; where all is excluded, none matters. */
function without(
  parts: readonly RibbonPart[],
  stretches: readonly { readonly startMs: number; readonly endMs: number }[],
): RibbonPart[] {
  const cuts = stretches.toSorted((one, other) => one.startMs - other.startMs)
  const left: RibbonPart[] = []
  let first = 0
  for (const part of parts) {
    while ((cuts[first]?.endMs ?? Number.POSITIVE_INFINITY) <= part.startMs) first++
    let { startMs } = part
    for (let place = first; (cuts[place]?.startMs ?? Number.POSITIVE_INFINITY) < part.endMs; place++) {
      const cut = cuts[place] as { startMs: number; endMs: number }
      if (cut.startMs > startMs) left.push({ ...part, startMs, endMs: cut.startMs })
      startMs = Math.max(startMs, cut.endMs)
    }
    if (startMs < part.endMs) left.push(startMs === part.startMs ? part : { ...part, startMs })
  }
  return left
}
