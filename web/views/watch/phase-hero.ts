import { css, html, LitElement, nothing, svg } from 'lit'
import { shadeMotif, shadeWidth, tileSize } from '../../parts/phase-pattern.ts'
import { shared } from '../../styles/shared.ts'
import type { BigState } from './big-state.ts'

/** The one big state, readable at three metres. Draws what it is given: no store, no timer, no time arithmetic. */
export class PhaseHero extends LitElement {
  static override properties = { state: { attribute: false }, plant: { type: String }, stream: { type: String } }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: auto 1fr; gap: 0 clamp(14px, 2vw, 28px); align-items: stretch; min-width: 0; }
    svg { width: clamp(20px, 3vw, 44px); height: 100%; display: block; border: 1px solid var(--edge); background: var(--panel); }
    svg path { stroke: var(--edge); fill: none; }
    .alarm svg path { stroke: #000; }
    .word { font-size: var(--size-hero); font-weight: 700; line-height: 1; letter-spacing: -0.025em; margin-left: -0.04em; overflow-wrap: anywhere; }
    .alarm .word { background: var(--alarm); color: var(--on-alarm); padding: 0.02em 0.14em 0.08em; margin-left: 0; display: inline-block; }
    .quiet .word { color: var(--ink-soft); }
    .since { font-size: clamp(1.2rem, 2.1vw, 1.9rem); font-weight: 500; margin-top: 10px; min-height: 1.4em; }
    .meaning, .next { color: var(--ink-soft); min-height: 1.4em; }
    .next::first-letter, .meaning::first-letter { text-transform: uppercase; }
  `,
  ]
  declare state: BigState
  declare plant: string
  declare stream: string
  constructor() {
    super()
    this.state = { word: '', shade: 'unknown', tone: 'quiet', since: '', meaning: '', next: '' }
    this.plant = ''
    this.stream = ''
  }

  override render() {
    const { word, shade, tone, since, meaning, next } = this.state
    return html`
      <div class=${tone}><svg aria-hidden="true"><defs><pattern id="swatch" width=${tileSize} height=${tileSize} patternUnits="userSpaceOnUse" patternTransform="scale(1.6)"><path d=${shadeMotif[shade]} stroke-width=${shadeWidth[shade]}></path></pattern></defs>
        ${svg`<rect width="100%" height="100%" fill=${shade === 'measure' ? 'var(--ink-soft)' : tone === 'alarm' ? 'var(--alarm)' : 'transparent'}></rect><rect width="100%" height="100%" fill="url(#swatch)"></rect>`}</svg></div>
      <div class=${tone}>
        ${this.stream ? html`<p class="small soft">${this.stream}</p>` : nothing}
        <h1 class="word">${word}</h1>
        <p class="since">${since}</p>
        <p class="next">${next}</p>
        <p class="meaning">${meaning}${this.plant ? html` · ${this.plant}` : nothing}</p>
      </div>`
  }
}
customElements.define('phase-hero', PhaseHero)
