import { expect, test } from 'vitest'
import type { PhaseSpan } from '../../../protocols/live/messages.ts'
import { joinedSpans, type PhaseStretch, placeSpan } from '../../../web/phase-spans.ts'

const aSpan = (phase: PhaseSpan['phase'], startMs: number, endMs: number | null, stream = 'main'): PhaseSpan => ({
  stream,
  phase,
  startMs,
  endMs,
  cause: 'signal',
  inferred: true,
  readings: 1,
})
const brief = (spans: readonly PhaseStretch[]) => spans.map((span) => [span.phase, span.startMs, span.endMs])

test('a new phase ends the one before it', () => {
  expect(brief(placeSpan([aSpan('measure', 0, null)], aSpan('purge', 100, null)))).toEqual([
    ['measure', 0, 100],
    ['purge', 100, null],
  ])
})
test('a back-dated phase takes time from the one before and replaces itself', () => {
  const before = [aSpan('measure', 0, 100), aSpan('purge', 100, null)]
  expect(brief(placeSpan(before, aSpan('purge', 80, null)))).toEqual([
    ['measure', 0, 80],
    ['purge', 80, null],
  ])
})
test('the end of a phase that comes after the next has opened leaves the next alone', () => {
  const before = [aSpan('measure', 0, null), aSpan('purge', 100, null)]
  expect(brief(placeSpan(before, aSpan('measure', 0, 100)))).toEqual([
    ['measure', 0, 100],
    ['purge', 100, null],
  ])
})
test('streams have phases of their own', () => {
  expect(brief(placeSpan([aSpan('measure', 0, null, 'inlet')], aSpan('purge', 100, null, 'outlet')))).toEqual([
    ['measure', 0, null],
    ['purge', 100, null],
  ])
})
test('what the page was told since wins over what it asked for before', () => {
  expect(
    brief(
      joinedSpans(
        [aSpan('measure', 0, 100), aSpan('purge', 100, null)],
        [aSpan('purge', 90, 150), aSpan('settle', 150, null)],
        0,
        1000,
      ),
    ),
  ).toEqual([
    ['measure', 0, 90],
    ['purge', 90, 150],
    ['settle', 150, null],
  ])
})

test('of a long run only what touches the stretch is taken, and what the page was told since ends it', () => {
  const older = Array.from({ length: 1000 }, (_, number) => aSpan('measure', number * 10, number * 10 + 10))
  expect(brief(joinedSpans(older, [], 5005, 5020))).toEqual([
    ['measure', 5000, 5010],
    ['measure', 5010, 5020],
  ])
  expect(brief(joinedSpans(older, [aSpan('purge', 5012, null)], 5005, 9000))).toEqual([
    ['measure', 5000, 5010],
    ['measure', 5010, 5012],
    ['purge', 5012, null],
  ])
  expect(brief(joinedSpans(older, [], 20_000, 30_000))).toEqual([])
})
