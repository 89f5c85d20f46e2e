import type { StreamState } from '../../../protocols/live/messages.ts'
import { durationText, roughDurationText } from '../../format/durations.ts'
import { type Freshness, freshness, isInTouch } from '../../freshness.ts'
import type { Shade } from '../../parts/phase-pattern.ts'
import type { ViewState } from '../../store.ts'
import { lessThanMinute } from '../../texts/lengths.ts'
import { lastLineAgo, linkWords } from '../../texts/links.ts'
import { nextKnownWords, noLines, phaseMeanings, phaseWords } from '../../texts/phases.ts'
import * as watchTexts from '../../texts/watch.ts'

/** The one thing that must be legible from three metres, and the sentences beside it. */
export interface BigState {
  readonly word: string
  readonly shade: Shade
  readonly tone: 'plain' | 'quiet' | 'alarm'
  /** How long already. */
  readonly since: string
  readonly meaning: string
  readonly next: string
}

/** The phase, as long as lines come; what is missing otherwise. A phase that nobody confirms any more is not shown as the present one. */
export function bigState(state: ViewState, stream: StreamState, pageMs: number, nowMs: number): BigState {
  const fresh: Freshness = freshness(state, stream, pageMs)
  const last = watchTexts.lastKnown(phaseWords[stream.phase].toLowerCase())
  const age = fresh.ageMs === null ? '' : durationText(fresh.ageMs)
  if (!isInTouch(state, pageMs) && state.station?.mode === 'live') {
    return {
      word: watchTexts.outOfTouch,
      shade: 'gap',
      tone: 'alarm',
      since: age && watchTexts.newestOld(age),
      meaning: watchTexts.stationNotHeard(last),
      next: '',
    }
  }
  if (fresh.stale && stream.link !== 'waiting') {
    return {
      word: noLines,
      shade: 'gap',
      tone: 'alarm',
      since: age && lastLineAgo(age),
      meaning: watchTexts.instrumentLink(
        `${linkWords[stream.link]}${stream.linkDetail ? `, ${stream.linkDetail}` : ''}`,
        last,
      ),
      next: '',
    }
  }
  if (stream.lastLineMs === null)
    return {
      word: watchTexts.waiting,
      shade: 'gap',
      tone: 'quiet',
      since: '',
      meaning: watchTexts.noLineYet(stream.source),
      next: '',
    }
  const { phase, next } = stream
  return {
    word: phaseWords[phase],
    shade: phase,
    tone: phase === 'fault' ? 'alarm' : phase === 'measure' ? 'plain' : 'quiet',
    since: watchTexts.already(durationText(nowMs - stream.phaseSinceMs)),
    meaning: stream.phaseInferred ? watchTexts.recognised(phaseMeanings[phase]) : phaseMeanings[phase],
    next: next ? nextText(next, nowMs) : watchTexts.nextNotKnown,
  }
}
function nextText(next: NonNullable<StreamState['next']>, nowMs: number): string {
  const word = phaseWords[next.phase].toLowerCase()
  const ahead = next.atMs - nowMs
  const known = nextKnownWords[next.known]
  if (ahead < -30_000) return watchTexts.overdue(word, roughDurationText(-ahead), known)
  const length = ahead < 60_000 ? lessThanMinute : roughDurationText(ahead)
  const isRough = next.known === 'from the cycles so far' && ahead >= 60_000
  return watchTexts.next(word, isRough ? watchTexts.about(length) : length, known)
}
