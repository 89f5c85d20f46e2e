import { css, html, LitElement, svg } from 'lit'
import type { Phase } from '../../protocols/words/phases.ts'
import { type Shade, shadeMotif, shadeWidth, tileSize } from '../parts/phase-pattern.ts'
import { shared } from '../styles/shared.ts'
import { cautions, close } from '../texts/everywhere.ts'
import { viewWords } from '../texts/frame.ts'
import * as helpTexts from '../texts/help.ts'
import { noLines, phaseMeanings, phaseWords } from '../texts/phases.ts'

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
    return html`<dialog aria-labelledby="help-title"><form method="dialog"><h2 id="help-title">${helpTexts.title}</h2><button class="gloves" autofocus>${close}</button></form>
      <p class="way"><a class="button" href="#/calculations" @click=${() => this.renderRoot.querySelector('dialog')?.close()}>${viewWords.calculations}</a><span class="soft">${helpTexts.calculationsAbout}</span></p>
      <h2>${helpTexts.keys}</h2>
      <dl>${helpTexts.shortcuts.map(([keys, what]) => html`<dt><kbd>${keys}</kbd></dt><dd>${what}</dd>`)}</dl>
      <h2>${helpTexts.patterns}</h2>
      <dl>${shades.map(([phase, meaning]) => html`<dt aria-hidden="true">${swatch(phase)}</dt><dd><strong>${phaseWords[phase]}</strong>: ${meaning}</dd>`)}<dt aria-hidden="true">${swatch('gap')}</dt><dd><strong>${noLines}</strong>: ${helpTexts.gapMeaning}</dd></dl>
      <h2>${helpTexts.thisScreen}</h2><this-screen></this-screen>
      <h2>${helpTexts.terms}</h2><terms-list></terms-list>
      <p class="soft small">${cautions}</p>
</dialog>`
  }
}
customElements.define('help-sheet', HelpSheet)
