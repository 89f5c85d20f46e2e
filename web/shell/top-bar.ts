import { css, html, LitElement, nothing } from 'lit'
import { numberText } from '../format/numbers.ts'
import { dayText, timeText } from '../format/times.ts'
import { tell } from '../parts/tell.ts'
import { type Route, routeHash, views } from '../route.ts'
import type { Station } from '../store.ts'
import { shared } from '../styles/shared.ts'
import * as everywhere from '../texts/everywhere.ts'
import * as frameTexts from '../texts/frame.ts'
import type { HandWish } from './hands.ts'
import { type Theme, themes } from './remembered.ts'

/** Name, views, time, and what must be known at all times: invented data, a clock at speed. */
export class TopBar extends LitElement {
  static override properties = {
    station: { attribute: false },
    route: { attribute: false },
    nowMs: { type: Number },
    theme: { type: String },
  }
  static override styles = [
    shared,
    css`
    :host { display: flex; flex-wrap: wrap; gap: 8px 10px; align-items: center; }
    .name { font-weight: 600; max-width: 11em; line-height: 1.2; }
    nav { display: flex; }
    nav a { min-height: var(--target); display: flex; align-items: center; padding: 0 5px; color: var(--ink-soft); text-decoration: none; border-bottom: 3px solid transparent; }
    nav a[aria-current] { color: var(--ink); border-color: var(--ink); font-weight: 600; }
    nav a:hover { color: var(--ink); text-decoration: underline; }
    .marks { display: flex; flex-wrap: wrap; gap: 6px; }
    .plate { border: 2px solid var(--caution-edge); background: var(--caution); color: var(--on-caution); font-weight: 600; padding: 1px 6px; font-size: var(--size-small); }
    .right { margin-left: auto; display: flex; gap: 10px; align-items: center; }
    .clock { font-size: 1.15rem; font-weight: 500; text-align: right; line-height: 1.15; }
    .tools { display: flex; gap: 8px; align-items: center; }
    @media (max-width: 820px) {
      .name { max-width: 17em; }
      .right { display: contents; }
      .clock { margin-left: auto; }
      nav { position: fixed; inset: auto 0 0 0; z-index: 5; background: var(--panel); border-top: 1px solid var(--line); padding-bottom: env(safe-area-inset-bottom); }
      nav a { flex: 1; justify-content: center; min-height: var(--target-gloves); padding: 0 2px; font-size: min(0.8rem, 3.5vw); border-bottom: 0; border-top: 3px solid transparent; }
      nav a.seldom { display: none; }
      .tools { width: 100%; }
      .tools .note { flex: 1; }
      .tools .note span { display: none; }
    }
  `,
  ]
  declare station: Station | null
  declare route: Route
  declare nowMs: number
  declare theme: Theme

  override render() {
    const { station, route, nowMs } = this
    const speed = station?.clock.speed ?? 1
    return html`<span class="name">${station?.station ?? frameTexts.program}</span>
      <nav aria-label=${frameTexts.views}>${views.map((view) => html`<a href=${routeHash({ ...route, view })} aria-current=${route.view === view ? 'page' : nothing} class=${view === 'calculations' ? 'seldom' : nothing}>${frameTexts.viewWords[view]}</a>`)}</nav>
      <span class="marks">${station?.invented ? html`<span class="plate">${everywhere.inventedData}</span>` : nothing}${speed !== 1 && station?.mode === 'live' ? html`<span class="plate">${everywhere.clockAtSpeed(numberText(speed, Number.isInteger(speed) ? 0 : 1))}</span>` : nothing}</span>
      <span class="right">
      ${station ? html`<span class="clock">${timeText(nowMs, station.clock)}<br><span class="small soft" title=${station.clock.standardTime ? frameTexts.standardTime : nothing}>${dayText(nowMs, station.clock)} · ${station.clock.zone}</span></span>` : nothing}
      <span class="tools">${station?.mode === 'live' && station.streams.length ? html`<button class="gloves note" @click=${() => tell<HandWish>(this, 'hand', { do: 'note' })}>${frameTexts.note} <span class="soft small" aria-hidden="true">${frameTexts.noteKey}</span></button>` : nothing}
        <button @click=${() => tell(this, 'choose-theme', themes[(themes.indexOf(this.theme) + 1) % themes.length])} aria-label=${frameTexts.nextLook(frameTexts.themeWords[this.theme])}><svg width="20" height="20" viewBox="0 0 20 20" aria-hidden="true"><circle cx="10" cy="10" r="8" fill="none" stroke="currentColor" stroke-width="1.6"></circle><path d="M10 2a8 8 0 0 1 0 16z" fill="currentColor"></path></svg></button>
        <button @click=${() => tell(this, 'ask-help')} aria-label=${frameTexts.help}>?</button></span></span>`
  }
}
customElements.define('top-bar', TopBar)
