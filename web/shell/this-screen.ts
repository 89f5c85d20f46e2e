import { css, html, LitElement } from 'lit'
import { tell } from '../parts/tell.ts'
import { shared } from '../styles/shared.ts'
import { themeWords } from '../texts/frame.ts'
import * as screenTexts from '../texts/this-screen.ts'
import { Awake } from './awake.ts'
import { rememberedTheme, type Theme, themes } from './remembered.ts'

/** One for the page: a dialog that closes must not let the screen go dark. */
let awake: Awake | null = null

/** How this screen looks and whether it stays lit; for this browser alone. */
export class ThisScreen extends LitElement {
  static override styles = [shared, css`:host { display: grid; gap: 12px; margin: 12px 0 20px; }`]

  override connectedCallback(): void {
    super.connectedCallback()
    awake ??= new Awake(() => this.requestUpdate())
  }

  private choose(theme: Theme): void {
    tell(this, 'choose-theme', theme)
    this.requestUpdate()
  }

  override render() {
    const theme = rememberedTheme()
    const isOn = awake?.isOn ?? false
    return html`<div class="row" role="group" aria-label=${screenTexts.look}>${themes.map((one) => html`<button aria-pressed=${one === theme} @click=${() => this.choose(one)}>${themeWords[one]}</button>`)}</div>
      <p>${
        Awake.isPossible
          ? html`<button aria-pressed=${isOn} @click=${() => awake?.set(!isOn)}>${screenTexts.keepLit}</button>`
          : html`<span class="soft">${screenTexts.cannotKeepLit}</span>`
      }</p>
      <p><button @click=${() => print()}>${screenTexts.print}</button></p>`
  }
}
customElements.define('this-screen', ThisScreen)
