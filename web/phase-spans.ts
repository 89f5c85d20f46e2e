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

/** Spans from two sources in one list: those of `newer` win where both tell of the same time. */
export const joinedSpans = (older: readonly PhaseSpan[], newer: readonly PhaseSpan[]): PhaseSpan[] =>
  newer.reduce(placeSpan, [...older])
