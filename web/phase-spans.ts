import type { PhaseSpan } from '../protocols/live/messages.ts'

/**
 * Puts a span among those known. One that was back-dated takes time from those before it and replaces what it
 * covers, so that the spans of a stream never overlap. Ordered by start.
 */
export function placeSpan(spans: readonly PhaseSpan[], span: PhaseSpan): PhaseSpan[] {
  const end = span.endMs ?? Number.POSITIVE_INFINITY
  const kept: PhaseSpan[] = []
  for (const other of spans) {
    if (other.stream !== span.stream) kept.push(other)
    else if (other.startMs < span.startMs)
      kept.push(other.endMs === null || other.endMs > span.startMs ? { ...other, endMs: span.startMs } : other)
    else if (other.startMs >= end) kept.push(other)
  }
  kept.push(span)
  return kept.sort((one, other) => one.startMs - other.startMs)
}

/** Puts a list in order, whatever was back-dated in it: what was told later wins. */
export const orderedSpans = (spans: readonly PhaseSpan[]): PhaseSpan[] => spans.reduce(placeSpan, [] as PhaseSpan[])

/** What a chart needs of a phase. */
export type PhaseStretch = Pick<PhaseSpan, 'phase' | 'startMs' | 'endMs'>

/**
 * Of one stream's spans from two sources, both in order, those with a part in [fromMs, toMs): from the first of `newer` on
 * only those count. What lies before the stretch is not looked through: a month holds tens of thousands.
 */
export function joinedSpans(
  older: readonly PhaseStretch[],
  newer: readonly PhaseStretch[],
  fromMs: number,
  toMs: number,
): PhaseStretch[] {
  const cutMs = newer[0]?.startMs ?? Number.POSITIVE_INFINITY
  const found: PhaseStretch[] = []
  for (let place = firstAfter(older, fromMs); place < older.length; place++) {
    const span = older[place] as PhaseStretch
    if (span.startMs >= Math.min(cutMs, toMs)) break
    const endMs = Math.min(span.endMs ?? cutMs, cutMs)
    if (endMs <= fromMs) continue
    found.push(span.endMs === endMs || endMs === Number.POSITIVE_INFINITY ? span : { ...span, endMs })
  }
  for (const span of newer) if (span.startMs < toMs && (span.endMs ?? toMs) > fromMs) found.push(span)
  return found
}

/** Place of the first span that ends after an instant; their ends are in order, as their starts are. */
function firstAfter(spans: readonly PhaseStretch[], ms: number): number {
  let [low, high] = [0, spans.length]
  while (low < high) {
    const middle = (low + high) >> 1
    if ((spans[middle]?.endMs ?? Number.POSITIVE_INFINITY) > ms) high = middle
    else low = middle + 1
  }
  return low
}
