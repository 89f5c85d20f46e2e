import { css, html, LitElement } from 'lit'
import { durationText } from '../format/durations.ts'
import { wholeText } from '../format/numbers.ts'
import { timeText } from '../format/times.ts'
import { freshness, isInTouch } from '../freshness.ts'
import { type Mark, mark } from '../parts/marks.ts'
import type { Station, ViewState } from '../store.ts'
import { shared } from '../styles/shared.ts'
import { linkWords, recordingWords } from '../texts.ts'

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
    return html`<ul aria-label="Links">${parts.map(({ name, sign, text }) => html`<li>${mark(sign)}<span><span class="name">${name}:</span> <span class=${sign === 'alarm' ? 'alarm' : ''}>${text}</span></span></li>`)}</ul>`
  }
}
customElements.define('status-line', StatusLine)

function pageSaid(state: ViewState, pageMs: number): Said {
  const { link, heardMs } = state
  const name = 'Page'
  if (link.state === 'connecting') return { name, sign: 'off', text: 'connecting to the station' }
  if (link.state === 'lost') {
    const next =
      link.retryMs === null ? 'trying now' : `next try in ${durationText(Math.max(0, link.retryMs - pageMs) + 999)}`
    return {
      name,
      sign: 'alarm',
      text: `no link to the station for ${durationText(pageMs - link.sinceMs)}, ${next} (try ${Math.max(1, link.attempt)})`,
    }
  }
  if (!isInTouch(state, pageMs))
    return {
      name,
      sign: 'alarm',
      text: `nothing heard from the station for ${durationText(pageMs - (heardMs ?? link.sinceMs))}`,
    }
  return {
    name,
    sign: 'good',
    text: state.hole ? 'linked, catching up' : state.station?.mode === 'replay' ? 'linked, replay' : 'linked, live',
  }
}

function streamSaid(state: ViewState, station: Station, stream: Station['streams'][number], pageMs: number): Said {
  const name = station.streams.length > 1 ? `Instrument ${stream.id}` : 'Instrument'
  const { stale, ageMs } = freshness(state, stream, pageMs)
  if (ageMs === null)
    return {
      name,
      sign: stream.link === 'waiting' || stream.link === 'open' ? 'off' : 'alarm',
      text: linkWords[stream.link],
    }
  const refused = Object.values(stream.refused).reduce((sum, count) => sum + count, 0)
  const lost = refused ? ` · ${wholeText(refused)} unreadable` : ''
  if (station.mode === 'replay') return { name, sign: 'good', text: `as recorded${lost}` }
  if (!isInTouch(state, pageMs))
    return { name, sign: 'off', text: `not known; last line heard of ${durationText(ageMs)} ago` }
  const sign = stale || stream.link === 'lost' || stream.link === 'refused' ? 'alarm' : 'good'
  const trouble =
    stream.link === 'open' || stream.link === 'waiting'
      ? ''
      : `, ${linkWords[stream.link]}${stream.attempt ? ` (try ${stream.attempt})` : ''}`
  return {
    name,
    sign,
    text: `last line ${ageMs < 1500 * Math.max(1, station.clock.speed) ? 'just now' : `${durationText(ageMs)} ago`}${trouble}${lost}`,
  }
}

function recordingSaid({ recording, clock, mode }: Station, isHeard: boolean): Said {
  const name = 'Recording'
  if (mode === 'replay') return { name, sign: 'good', text: 'played back, not changed' }
  const stored =
    recording.storedUpToMs === null ? 'nothing stored yet' : `stored up to ${timeText(recording.storedUpToMs, clock)}`
  if (!isHeard) return { name, sign: 'off', text: `not known; last heard: ${stored}` }
  const sign: Mark = recording.state === 'recording' ? 'good' : recording.state === 'stopped' ? 'alarm' : 'caution'
  const room =
    recording.hoursLeft !== null && recording.hoursLeft < 48
      ? ` · room for ${durationText(recording.hoursLeft * 3_600_000)}`
      : ''
  return {
    name,
    sign,
    text: `${recording.state === 'recording' ? '' : `${recordingWords[recording.state]}, `}${stored}${room}${recording.detail ? ` · ${recording.detail}` : ''}`,
  }
}
