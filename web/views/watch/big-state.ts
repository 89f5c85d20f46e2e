import type { StreamState } from '../../../protocols/live/messages.ts'
import { durationText, roughDurationText } from '../../format/durations.ts'
import { type Freshness, freshness, isInTouch } from '../../freshness.ts'
import type { Shade } from '../../parts/phase-pattern.ts'
import type { ViewState } from '../../store.ts'
import { linkWords, nextKnownWords, phaseMeanings, phaseWords } from '../../texts.ts'

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
  const last = `Last known: ${phaseWords[stream.phase].toLowerCase()}`
  const age = fresh.ageMs === null ? '' : durationText(fresh.ageMs)
  if (!isInTouch(state, pageMs) && state.station?.mode === 'live') {
    return {
      word: 'Out of touch',
      shade: 'gap',
      tone: 'alarm',
      since: age && `newest figures are ${age} old`,
      meaning: `This page does not hear the station. The station may record on. ${last}`,
      next: '',
    }
  }
  if (fresh.stale && stream.link !== 'waiting') {
    return {
      word: 'No lines',
      shade: 'gap',
      tone: 'alarm',
      since: age && `last line ${age} ago`,
      meaning: `The instrument’s link: ${linkWords[stream.link]}${stream.linkDetail ? `, ${stream.linkDetail}` : ''}. ${last}`,
      next: '',
    }
  }
  if (stream.lastLineMs === null)
    return {
      word: 'Waiting',
      shade: 'gap',
      tone: 'quiet',
      since: '',
      meaning: `No line yet from ${stream.source}.`,
      next: '',
    }
  const { phase, next } = stream
  return {
    word: phaseWords[phase],
    shade: phase,
    tone: phase === 'fault' ? 'alarm' : phase === 'measure' ? 'plain' : 'quiet',
    since: `for ${durationText(nowMs - stream.phaseSinceMs)}`,
    meaning: `${phaseMeanings[phase]}${stream.phaseInferred ? ' (recognised from the signals)' : ''}`,
    next: next ? nextText(next, nowMs) : 'what comes next is not known',
  }
}
function nextText(next: NonNullable<StreamState['next']>, nowMs: number): string {
  const word = phaseWords[next.phase].toLowerCase()
  const ahead = next.atMs - nowMs
  return ahead < -30_000
    ? `${word} is ${roughDurationText(-ahead)} overdue, ${nextKnownWords[next.known]}`
    : `${word} in ${next.known === 'from the cycles so far' && ahead >= 60_000 ? 'about ' : ''}${ahead < 60_000 ? 'less than 1 min' : roughDurationText(ahead)}, ${nextKnownWords[next.known]}`
}
