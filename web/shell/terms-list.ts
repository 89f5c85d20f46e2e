import { css, html, LitElement } from 'lit'
import { shared } from '../styles/shared.ts'
import { findTerm, noTerm, termCount, terms } from '../texts/terms.ts'

/** The words of these screens, each in a sentence with its source; found by any part of them. */
export class TermsList extends LitElement {
  static override properties = { wanted: { state: true } }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 12px; }
    input { width: 100%; }
    dt { font-weight: 600; margin-top: 12px; }
    dd { max-width: 60ch; }
  `,
  ]
  declare wanted: string
  constructor() {
    super()
    this.wanted = ''
  }

  override render() {
    const wanted = this.wanted.trim().toLowerCase()
    const found = terms.filter(({ term, meaning }) => `${term} ${meaning}`.toLowerCase().includes(wanted))
    return html`<label>${findTerm}<input type="search" .value=${this.wanted} @input=${(event: Event) => {
      this.wanted = (event.target as HTMLInputElement).value
    }} /></label>
      <p class="unseen" role="status">${termCount(found.length)}</p>
      ${found.length ? html`<dl>${found.map(({ term, meaning, source }) => html`<dt>${term}</dt><dd>${meaning} <span class="soft small">${source}</span></dd>`)}</dl>` : html`<p class="soft">${noTerm(this.wanted)}</p>`}`
  }
}
customElements.define('terms-list', TermsList)
