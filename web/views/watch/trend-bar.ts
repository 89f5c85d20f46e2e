import { css, html, LitElement, nothing } from 'lit'
import { live } from 'lit/directives/live.js'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { dayTimeText, spanText, type Zone } from '../../format/times.ts'
import { tell } from '../../parts/tell.ts'
import type { TrendValue } from '../../picks.ts'
import { shared } from '../../styles/shared.ts'
import { fromTo } from '../../texts/everywhere.ts'
import * as trendTexts from '../../texts/trends.ts'
import type { TrendWindow } from '../../window.ts'

export type TrendMove = 'only-this' | 'whole-run' | 'now' | 'earlier' | 'later' | 'closer' | 'wider'

/** What stretch the trends show, and the ways to another. */
export class TrendBar extends LitElement {
  static override properties = {
    window: { attribute: false },
    fromMs: { type: Number },
    toMs: { type: Number },
    nowMs: { type: Number },
    zone: { attribute: false },
    value: { type: String },
    loading: { type: Boolean },
    error: { type: String },
    channels: { attribute: false },
    beside: { type: String },
  }
  static override styles = [
    shared,
    css`
    :host { display: flex; flex-wrap: wrap; gap: 8px 16px; align-items: center; }
    .said { flex: 1 1 130px; min-width: 0; }
    label select { max-width: 100%; }
    .joined > button { padding: 0 11px; }
    .said p { min-height: 1.4em; }
    label { display: flex; flex-wrap: wrap; align-items: center; gap: 4px 8px; }
  `,
  ]
  declare window: TrendWindow
  declare fromMs: number
  declare toMs: number
  declare nowMs: number
  declare zone: Zone
  declare value: TrendValue
  declare loading: boolean
  declare error: string
  /** That can be laid over the others. */
  declare channels: readonly ChannelInfo[]
  declare beside: string

  override render() {
    const { window, fromMs, toMs, zone } = this
    const follows = window.kind !== 'fixed'
    const press = (move: TrendMove) => () => tell(this, 'trend-move', move)
    const what =
      window.kind === 'run'
        ? trendTexts.wholeRun
        : follows
          ? trendTexts.last(durationText(window.spanMs))
          : toMs - fromMs < 20 * 3_600_000
            ? spanText(fromMs, toMs, zone)
            : fromTo(dayTimeText(fromMs, zone), dayTimeText(toMs, zone))
    return html`<h2>${trendTexts.title}</h2>
      <div class="said"><p>${what}${follows ? nothing : html` <span class="soft">${trendTexts.held}</span>`}</p>
        ${this.error ? html`<p class="errors small" role="status">${this.error}</p>` : nothing}</div>
      <div class="joined" role="group" aria-label=${trendTexts.stretch}>
        <button @click=${press('only-this')} title=${trendTexts.onlyThisHint}>${trendTexts.onlyThis}</button>
        <button @click=${press('whole-run')} aria-pressed=${window.kind === 'run'} title=${trendTexts.wholeRunHint}>${trendTexts.wholeRun}</button>
        <button @click=${press('now')} aria-pressed=${window.kind === 'now'} title=${trendTexts.nowHint}>${trendTexts.now}</button>
        <button @click=${() => tell(this, 'ask-stretch')} title=${trendTexts.chosenHint}>${trendTexts.chosen}</button>
      </div>
      <div class="joined" role="group" aria-label=${trendTexts.moveAndZoom}>
        <button @click=${press('earlier')} aria-label=${trendTexts.earlier} title=${trendTexts.earlierHint}>←</button><button @click=${press('later')} aria-label=${trendTexts.later} title=${trendTexts.laterHint}>→</button>
        <button @click=${press('closer')} aria-label=${trendTexts.zoomIn} title=${trendTexts.zoomInHint}>+</button><button @click=${press('wider')} aria-label=${trendTexts.zoomOut} title=${trendTexts.zoomOutHint}>−</button>
      </div>
      ${follows ? nothing : html`<button @click=${() => tell(this, 'ask-exclusion', { fromMs, toMs })} title=${trendTexts.excludeHint}>${trendTexts.exclude}</button>`}
      <label>${trendTexts.values} <select @change=${(event: Event) => tell(this, 'trend-value', (event.target as HTMLSelectElement).value)}>
        ${Object.entries(trendTexts.trendValueWords).map(([id, word]) => html`<option value=${id} .selected=${live(id === this.value)}>${word}</option>`)}</select></label>
      <label>${trendTexts.laidOver} <select @change=${(event: Event) => tell(this, 'trend-beside', (event.target as HTMLSelectElement).value)}>
        <option value="" .selected=${live(!this.channels.some(({ id }) => id === this.beside))}>${trendTexts.nothingLaidOver}</option>${this.channels.map(({ id, name }) => html`<option value=${id} .selected=${live(id === this.beside)}>${name}</option>`)}</select></label>`
  }
}
customElements.define('trend-bar', TrendBar)
