import { css, html, LitElement, nothing, type PropertyValues } from 'lit'
import type { AmendmentsAnswer } from '../../../protocols/live/amend.ts'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import { tell } from '../../parts/tell.ts'
import { shared } from '../../styles/shared.ts'
import * as amendmentTexts from '../../texts/amendments.ts'
import { type Amending, amendmentText, isCheck } from './amendment-text.ts'

/** What amends a run, exclusions and checks, in force or taken back, with the way to take back. */
export class AmendmentsList extends LitElement {
  static override properties = {
    amendments: { attribute: false },
    channels: { attribute: false },
    zone: { attribute: false },
    tick: { type: Number },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 8px; min-width: 0; }
    li { display: flex; flex-wrap: wrap; gap: 6px 20px; align-items: center; border-left: 6px solid var(--caution-edge); padding: 6px 0 6px 12px; margin-top: 8px; }
    li.back { border-left-color: var(--line); }
    .what { flex: 1 1 320px; min-width: 0; overflow-wrap: anywhere; }
    .state { border: 1px solid var(--edge); border-radius: 4px; padding: 0 8px; white-space: nowrap; }
  `,
  ]
  declare amendments: AmendmentsAnswer
  declare channels: readonly ChannelInfo[]
  declare zone: Zone
  declare tick: number
  /** Whose taking back was asked for: its button goes, so the focus goes to its line. */
  private asked: string | null = null

  protected override updated(_changed: PropertyValues): void {
    if (this.asked === null) return
    const line = this.renderRoot.querySelector<HTMLElement>(`li.back[data-id="${CSS.escape(this.asked)}"]`)
    line?.focus()
    // While the dialog stands the line takes no focus; the draw after it tries again.
    if (line && this.shadowRoot?.activeElement === line) this.asked = null
  }

  override render() {
    const { exclusions, checks, changesInAll } = this.amendments
    if (exclusions.length + checks.length === 0) return html`<p class="soft">${amendmentTexts.none}</p>`
    return html`${this.group(amendmentTexts.exclusions, exclusions)}${this.group(amendmentTexts.checks, checks)}
      ${changesInAll > 0 ? html`<p class="soft small">${amendmentTexts.inAll(changesInAll)}</p>` : nothing}`
  }

  private group(heading: string, told: readonly Amending[]) {
    return told.length === 0 ? nothing : html`<h2>${heading}</h2><ul>${told.map((one) => this.line(one))}</ul>`
  }

  private line(told: Amending) {
    const { zone } = this
    const { name, says } = amendmentText(told, this.channels, zone)
    const { withdrawn } = told
    return html`<li data-id=${told.id} class=${withdrawn ? 'back' : ''} tabindex=${withdrawn ? -1 : nothing}>
      <div class="what"><p><strong>${name}</strong>, ${says}</p><p class="soft small">${amendmentTexts.told} ${told.by}, ${dayTimeText(told.toldMs, zone)}</p>
        ${withdrawn ? html`<p>${amendmentTexts.takenBackBecause}: ${withdrawn.reason}</p><p class="soft small">${withdrawn.by}, ${dayTimeText(withdrawn.toldMs, zone)}</p>` : nothing}</div>
      <span class="state small">${withdrawn ? amendmentTexts.takenBack : amendmentTexts.inForce}</span>
      ${isCheck(told) ? nothing : html`<button @click=${() => tell(this, 'show-stretch', { fromMs: told.fromMs, toMs: told.toMs })} aria-label=${amendmentTexts.showOf(name)}>${amendmentTexts.show}</button>`}
      ${withdrawn ? nothing : html`<button @click=${() => this.takeBack(told)} aria-label=${amendmentTexts.takeBackOf(name)}>${amendmentTexts.takeBack}</button>`}</li>`
  }

  private takeBack(told: Amending): void {
    this.asked = told.id
    tell(this, 'take-back', told)
  }
}
customElements.define('amendments-list', AmendmentsList)
