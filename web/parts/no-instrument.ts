import { css, html, LitElement } from 'lit'
import { shared } from '../styles/shared.ts'
import { setUpInstrument } from '../texts/everywhere.ts'
import { emptyWords, noneYet } from '../texts/no-instrument.ts'

/** What stands in a view before an instrument is set up: what is missing, what will stand here, and the way there. */
export class NoInstrument extends LitElement {
  static override properties = { view: { type: String } }
  static override styles = [
    shared,
    css`
    :host { display: grid; justify-items: center; gap: var(--gap); padding: 14vh 0; text-align: center; font-size: var(--size-large); color: var(--ink-soft); }
    .will { font-size: var(--size-text); max-width: 52ch; }
  `,
  ]
  declare view: keyof typeof emptyWords

  override render() {
    return html`<p>${noneYet}</p><p class="will">${emptyWords[this.view]}</p>
      <a class="button main" href="#/set-up">${setUpInstrument}</a>`
  }
}
customElements.define('no-instrument', NoInstrument)
