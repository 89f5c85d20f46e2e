import { css, html, LitElement } from 'lit'
import { durationText } from '../format/durations.ts'
import { dayTimeText } from '../format/times.ts'
import { tell } from '../parts/tell.ts'
import type { Station } from '../store.ts'
import { shared } from '../styles/shared.ts'
import { replay } from '../texts/everywhere.ts'
import * as replayTexts from '../texts/replay.ts'

export type Transport =
  | { readonly do: 'play'; readonly speed: number }
  | { readonly do: 'pause' }
  | { readonly do: 'seek'; readonly atMs: number }
  | { readonly do: 'leave' }
const speeds = [1, 10, 60, 300, 1800]
const stepMs = 60_000

/** The band that says that this is no live picture, and the transport: play, pause, speed, place, back to live. */
export class ReplayBar extends LitElement {
  static override properties = { station: { attribute: false }, nowMs: { type: Number }, held: { state: true } }
  static override styles = [
    shared,
    css`
    :host { display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: center; background: var(--panel); border-bottom: 6px solid var(--replay); padding: 6px var(--gutter); position: sticky; top: 0; z-index: 6; }
    .word { font-weight: 700; font-size: var(--size-large); background: var(--replay); color: var(--on-replay); padding: 4px 14px; }
    .place { flex: 1 1 260px; display: grid; min-width: 0; color: inherit; }
    input[type='range'] { width: 100%; padding: 0; min-height: var(--target); background: transparent; border: 0; accent-color: var(--ink); }
    .name { max-width: 24em; line-height: 1.25; }
    .play { min-width: 104px; }
    @media (max-width: 820px) { .place, .name { order: 9; flex-basis: 100%; max-width: none; } }
  `,
  ]
  declare station: Station
  declare nowMs: number
  /** Where the scrubber is held while it is moved. */
  declare held: number | null
  constructor() {
    super()
    this.held = null
  }

  private ask(wish: Transport): void {
    tell(this, 'transport', wish)
  }

  override render() {
    const { playback, clock, run } = this.station
    if (!playback) return html``
    const at = Math.min(playback.endMs, Math.max(playback.startMs, this.held ?? this.nowMs))
    const isAtEnd = at >= playback.endMs - 1000
    return html`<span class="word">${replay}</span><span class="name">${run.name || playback.recording}<br><span class="small soft">${replayTexts.replayIsDeaf}</span></span>
      <button class="play" @click=${() => this.ask(playback.playing ? { do: 'pause' } : { do: 'play', speed: playback.speed })}>${playback.playing ? replayTexts.pause : isAtEnd ? replayTexts.playAgain : replayTexts.play}</button>
      <label><span class="unseen">${replayTexts.speed}</span><select @change=${(event: Event) => this.ask({ do: 'play', speed: Number((event.target as HTMLSelectElement).value) })}>
        ${[...new Set([...speeds, playback.speed])].sort((one, other) => one - other).map((speed) => html`<option value=${speed} ?selected=${speed === playback.speed}>${replayTexts.timesSpeed(speed)}</option>`)}</select></label>
      <label class="place"><span class="small">${dayTimeText(at, clock)} · ${replayTexts.played(durationText(at - playback.startMs), durationText(playback.endMs - playback.startMs))}</span>
        <input type="range" aria-label=${replayTexts.place} min=${playback.startMs} max=${playback.endMs} step=${stepMs / 60} .value=${String(at)} aria-valuetext=${dayTimeText(at, clock)}
          @keydown=${(event: KeyboardEvent) => this.keyed(event, at)}
          @input=${(event: Event) => {
            this.held = Number((event.target as HTMLInputElement).value)
          }}
          @change=${(event: Event) => this.seek(Number((event.target as HTMLInputElement).value))} /></label>
      <button @click=${() => this.ask({ do: 'leave' })}>${replayTexts.backToLive}</button>`
  }

  /** Arrow keys step by a minute; a step of one second would take a night. */
  private keyed(event: KeyboardEvent, at: number): void {
    const step = {
      ArrowRight: stepMs,
      ArrowUp: stepMs,
      ArrowLeft: -stepMs,
      ArrowDown: -stepMs,
      PageUp: 30 * stepMs,
      PageDown: -30 * stepMs,
    }[event.key]
    if (step === undefined) return
    event.preventDefault()
    this.seek(at + step)
  }
  private seek(atMs: number): void {
    this.held = null
    const { playback } = this.station
    if (playback) this.ask({ do: 'seek', atMs: Math.round(Math.min(playback.endMs, Math.max(playback.startMs, atMs))) })
  }
}
customElements.define('replay-bar', ReplayBar)
