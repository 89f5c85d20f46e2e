import { css, html, LitElement, nothing } from 'lit'
import type { ToldExclusion } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { dayTimeText, timeText, type Zone } from '../../format/times.ts'
import { tell } from '../../parts/tell.ts'
import { shared } from '../../styles/shared.ts'

/** What is taken out of the averages, with the way to take it back. */
export class ExclusionsList extends LitElement {
  static override properties = { exclusions: { attribute: false }, zone: { attribute: false } }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 8px; min-width: 0; }
    li { display: flex; flex-wrap: wrap; gap: 6px 20px; align-items: center; border-left: 6px solid var(--caution-edge); padding: 6px 0 6px 12px; margin-top: 8px; }
    .what { flex: 1 1 320px; min-width: 0; overflow-wrap: anywhere; }
  `,
  ]
  declare exclusions: readonly ToldExclusion[]
  declare zone: Zone

  override render() {
    if (this.exclusions.length === 0) return nothing
    return html`<h2>Excluded from the averages</h2><ul>${this.exclusions.map(
      (told) =>
        html`<li><p class="what"><strong>${dayTimeText(told.fromMs, this.zone)} to ${timeText(told.toMs, this.zone)}</strong>, ${durationText(told.toMs - told.fromMs)}, ${told.channel ?? told.stream ?? 'all channels'}: ${told.reason} <span class="soft small">${told.by}, ${dayTimeText(told.toldMs, this.zone)}</span></p>
        <button @click=${() => tell(this, 'show-stretch', { fromMs: told.fromMs, toMs: told.toMs })} aria-label=${`Show the stretch from ${timeText(told.fromMs, this.zone)} on the trends`}>Show</button>
        <button @click=${() => tell(this, 'ask-withdrawal', told)} aria-label=${`Take back the exclusion from ${timeText(told.fromMs, this.zone)}`}>Take back</button></li>`,
    )}</ul>`
  }
}
customElements.define('exclusions-list', ExclusionsList)
