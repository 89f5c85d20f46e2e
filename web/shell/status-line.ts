import { css, html, LitElement } from 'lit'
import { durationText } from '../format/durations.ts'
import { wholeText } from '../format/numbers.ts'
import { timeText } from '../format/times.ts'
import { freshness, isInTouch } from '../freshness.ts'
import { type Mark, mark } from '../parts/marks.ts'
import type { Station, ViewState } from '../store.ts'
import { shared } from '../styles/shared.ts'
import * as linkTexts from '../texts/links.ts'

interface Said {
  readonly name: string
  readonly sign: Mark
  readonly text: string
}

/** Three things told apart, in words: page and station, station and instrument, and what is safe in the recording. */
export class StatusLine extends LitElement {
  static override properties = { state: { attribute: false }, pageMs: { type: Number }, tick: { type: Number } }
  static override styles = [
    shared,
    css`
    ul { display: flex; flex-wrap: wrap; gap: 4px clamp(16px, 3vw, 44px); }
    li { display: flex; gap: 8px; align-items: center; }
    .name { color: var(--ink-soft); }
    .alarm { background: var(--alarm); color: var(--on-alarm); padding: 0 8px; font-weight: 600; }
  `,
  ]
  declare state: ViewState
  declare pageMs: number

  override render() {
    const { station } = this.state
    const parts = [
      pageSaid(this.state, this.pageMs),
      ...(station
        ? [
            ...station.streams.map((stream) => streamSaid(this.state, station, stream, this.pageMs)),
            recordingSaid(station, isInTouch(this.state, this.pageMs)),
          ]
        : []),
    ]
    return html`<ul aria-label=${linkTexts.links}>${parts.map(({ name, sign, text }) => html`<li>${mark(sign)}<span><span class="name">${name}:</span> <span class=${sign === 'alarm' ? 'alarm' : ''}>${text}</span></span></li>`)}</ul>`
  }
}
customElements.define('status-line', StatusLine)

function pageSaid(state: ViewState, pageMs: number): Said {
  const { link, heardMs } = state
  const name = linkTexts.page
  if (link.state === 'connecting') return { name, sign: 'off', text: linkTexts.connecting }
  if (link.state === 'lost') {
    const next =
      link.retryMs === null
        ? linkTexts.tryingNow
        : linkTexts.nextTry(durationText(Math.max(0, link.retryMs - pageMs) + 999))
    return {
      name,
      sign: 'alarm',
      text: linkTexts.noLink(durationText(pageMs - link.sinceMs), next, Math.max(1, link.attempt)),
    }
  }
  if (!isInTouch(state, pageMs))
    return {
      name,
      sign: 'alarm',
      text: linkTexts.nothingHeard(durationText(pageMs - (heardMs ?? link.sinceMs))),
    }
  return {
    name,
    sign: 'good',
    text: state.hole
      ? linkTexts.catchingUp
      : state.station?.mode === 'replay'
        ? linkTexts.linkedReplay
        : linkTexts.linkedLive,
  }
}

function streamSaid(state: ViewState, station: Station, stream: Station['streams'][number], pageMs: number): Said {
  const name = station.streams.length > 1 ? linkTexts.instrumentOf(stream.id) : linkTexts.instrument
  const { stale, ageMs } = freshness(state, stream, pageMs)
  if (ageMs === null)
    return {
      name,
      sign: stream.link === 'waiting' || stream.link === 'open' ? 'off' : 'alarm',
      text: linkTexts.linkWords[stream.link],
    }
  const refused = Object.values(stream.refused).reduce((sum, count) => sum + count, 0)
  const lost = refused ? ` · ${linkTexts.refusedLines(wholeText(refused), Object.keys(stream.refused))}` : ''
  if (station.mode === 'replay') return { name, sign: 'good', text: `${linkTexts.asRecorded}${lost}` }
  if (!isInTouch(state, pageMs)) return { name, sign: 'off', text: linkTexts.lineNotKnown(durationText(ageMs)) }
  const sign = stale || stream.link === 'lost' || stream.link === 'refused' ? 'alarm' : 'good'
  const trouble =
    stream.link === 'open' || stream.link === 'waiting'
      ? ''
      : `, ${linkTexts.linkWords[stream.link]}${stream.attempt ? linkTexts.tryNumber(stream.attempt) : ''}`
  return {
    name,
    sign,
    text: `${ageMs < 1500 * Math.max(1, station.clock.speed) ? linkTexts.lastLineNow : linkTexts.lastLineAgo(durationText(ageMs))}${trouble}${lost}`,
  }
}

function recordingSaid({ recording, clock, mode }: Station, isHeard: boolean): Said {
  const name = linkTexts.recording
  if (mode === 'replay') return { name, sign: 'good', text: linkTexts.playedBack }
  const stored =
    recording.storedUpToMs === null
      ? linkTexts.nothingStored
      : linkTexts.storedUpTo(timeText(recording.storedUpToMs, clock))
  if (!isHeard) return { name, sign: 'off', text: linkTexts.storedNotKnown(stored) }
  const sign: Mark = recording.state === 'recording' ? 'good' : recording.state === 'stopped' ? 'alarm' : 'caution'
  const room =
    recording.hoursLeft !== null && recording.hoursLeft < 48
      ? ` · ${linkTexts.room(durationText(recording.hoursLeft * 3_600_000))}`
      : ''
  return {
    name,
    sign,
    text: `${recording.state === 'recording' ? '' : `${linkTexts.recordingWords[recording.state]}, `}${stored}${room}${recording.detail ? ` · ${recording.detail}` : ''}`,
  }
}
