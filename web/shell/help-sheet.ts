import { css, html, LitElement, svg } from 'lit'
import type { Phase } from '../../protocols/words/phases.ts'
import { type Shade, shadeMotif, shadeWidth, tileSize } from '../parts/phase-pattern.ts'
import { shared } from '../styles/shared.ts'
import { phaseMeanings, phaseWords, shortcuts } from '../texts.ts'

/** Keys, what the patterns stand for, and the terms. */
export class HelpSheet extends LitElement {
  static override styles = [
    shared,
    css`
    dl { display: grid; grid-template-columns: auto 1fr; gap: 6px 16px; align-items: center; margin: 12px 0 20px; }
    kbd { font: inherit; font-weight: 600; }
    svg path { stroke: var(--edge); fill: none; }
    svg { border: 1px solid var(--edge); }
    form { display: flex; justify-content: space-between; align-items: center; position: sticky; top: calc(-1 * var(--gap-large)); z-index: 1; background: var(--panel); padding: 10px 0; margin-top: -10px; }
    .way { display: flex; flex-wrap: wrap; gap: 8px 14px; align-items: center; margin: 4px 0 16px; }
  `,
  ]
  open(): void {
    this.renderRoot.querySelector('dialog')?.showModal()
  }
  override render() {
    const shades = Object.entries(phaseMeanings) as [Phase, string][]
    const swatch = (shade: Shade) =>
      html`<svg width="34" height="22"><defs><pattern id=${`help-${shade}`} width=${tileSize} height=${tileSize} patternUnits="userSpaceOnUse"><path d=${shadeMotif[shade]} stroke-width=${shadeWidth[shade] + 0.3}></path></pattern></defs>${svg`<rect width="34" height="22" fill=${`url(#help-${shade})`}></rect>`}</svg>`
    return html`<dialog aria-labelledby="help-title"><form method="dialog"><h2 id="help-title">Help</h2><button class="gloves" autofocus>Close</button></form>
      <p class="way"><a class="button" href="#/calculations" @click=${() => this.renderRoot.querySelector('dialog')?.close()}>Calculations</a><span class="soft">the published formulas, with sources and live inputs</span></p>
      <h2>Keys</h2>
      <dl>${shortcuts.map(([keys, what]) => html`<dt><kbd>${keys}</kbd></dt><dd>${what}</dd>`)}</dl>
      <h2>Phases and their patterns</h2>
      <dl>${shades.map(([phase, meaning]) => html`<dt aria-hidden="true">${swatch(phase)}</dt><dd><strong>${phaseWords[phase]}</strong>: ${meaning}</dd>`)}<dt aria-hidden="true">${swatch('gap')}</dt><dd><strong>No lines</strong>: a gap; nothing is drawn or counted across it</dd></dl>
      <h2>This screen</h2><this-screen></this-screen>
      <h2>Terms</h2><terms-list></terms-list>
      <p class="soft small">What is worked on here can hurt: flue gas is toxic and hot, condensate is acidic, stacks are high. The instrument’s manual, the site’s safety rules, local codes and licensed practice come before anything on this screen.</p>
</dialog>`
  }
}
customElements.define('help-sheet', HelpSheet)
