import { css, html, LitElement, nothing } from 'lit'
import { numberText } from '../../format/numbers.ts'
import { freshness, isInTouch } from '../../freshness.ts'
import { tell } from '../../parts/tell.ts'
import type { Session } from '../../session.ts'
import { shared } from '../../styles/shared.ts'
import * as everywhere from '../../texts/everywhere.ts'
import * as farTexts from '../../texts/far-view.ts'
import { bigState } from './big-state.ts'
import { type GlanceLine, glanceLines } from './glance.ts'
import './glance-lines.ts'

/**
 * The state in letters for three metres, and nothing else. A capital of 14 mm is seen at 16 minutes of arc from there,
 * the least that ISO 9241-303 asks for (from memory): 76 px of a usual font at 96 px to the inch.
 */
export class FarView extends LitElement {
  static override properties = { session: { attribute: false }, tick: { type: Number } }
  static override styles = [
    shared,
    css`
    :host { --far: clamp(min(2.1rem, 11vw), 5.4vw, 9rem); --glance-more: 0.72em; display: flex; flex-direction: column; gap: calc(var(--far) * 0.22); min-height: calc(100dvh - 60px); font-size: var(--far); line-height: 1.1; }
    .word { font-size: clamp(min(3.6rem, 17vw), 10.5vw, 20rem); font-weight: 700; line-height: 0.95; letter-spacing: -0.025em; margin-left: -0.04em; overflow-wrap: anywhere; }
    .alarm .word { background: var(--alarm); color: var(--on-alarm); padding: 0 0.12em 0.06em; margin-left: 0; display: inline-block; }
    .since { font-weight: 500; }
    .next { color: var(--ink-soft); }
    .next::first-letter { text-transform: uppercase; }
    .foot { margin-top: auto; font-size: 1rem; display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: center; }
    .plate { border: 2px solid var(--caution-edge); background: var(--caution); color: var(--on-caution); font-weight: 600; padding: 1px 10px; }
  `,
  ]
  declare session: Session
  declare tick: number

  override render() {
    const { session } = this
    const { station } = session.state
    if (!station) return html`<p>${everywhere.waitingForStation}</p>`
    const pageMs = performance.now()
    const nowMs = session.now()
    const isHeld =
      (!isInTouch(session.state, pageMs) && station.mode === 'live') ||
      station.streams.some((stream) => freshness(session.state, stream, pageMs).stale)
    return html`${station.streams.length ? nothing : html`<h1 class="word">${farTexts.notSetUp}</h1>`}${station.streams.map(
      (stream) => {
        const { word, tone, since, next } = bigState(session.state, stream, pageMs, nowMs)
        return html`<div class=${tone}><h1 class="word">${word}</h1><p class="since">${since}</p>${next ? html`<p class="next">${next.split(',')[0]}</p>` : nothing}</div>`
      },
    )}
      <glance-lines .lines=${briefly(glanceLines(session.state, session.shownAverage, pageMs, isHeld ? nowMs : null))}></glance-lines>
      <p class="foot"><button class="gloves" @click=${() => tell(this, 'far', false)}>${farTexts.back}</button>${station.invented ? html`<span class="plate">${everywhere.inventedData}</span>` : nothing}${station.mode === 'replay' ? html`<span class="plate">${everywhere.replay}</span>` : station.clock.speed === 1 ? nothing : html`<span class="plate">${everywhere.clockAtSpeed(numberText(station.clock.speed, 0))}</span>`}<span class="soft">${station.station}</span></p>`
  }
}
/** There is room for what stands beside two answers: which alarm comes first, and the likely range of what matters most. */
function briefly(lines: readonly GlanceLine[]): GlanceLine[] {
  const firstBlock = lines.findIndex(({ about }) => about === 'block')
  return lines.map((line, index) => (line.about === 'hand' || index === firstBlock ? line : { ...line, more: '' }))
}
customElements.define('far-view', FarView)
