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

/** One stream's spans from two sources, both in order: from the first of `newer` on only those count. */
export function joinedSpans(older: readonly PhaseSpan[], newer: readonly PhaseSpan[]): PhaseSpan[] {
  const [first] = newer
  if (!first) return [...older]
  const before = older.filter((span) => span.startMs < first.startMs)
  return [
    ...before.map((span) =>
      span.endMs === null || span.endMs > first.startMs ? { ...span, endMs: first.startMs } : span,
    ),
    ...newer,
  ]
}
