import { css, html, LitElement, nothing } from 'lit'
import { mark } from '../../parts/marks.ts'
import { shared } from '../../styles/shared.ts'
import { atAGlance } from '../../texts/glance.ts'
import type { GlanceLine } from './glance.ts'

const signs = { plain: 'good', caution: 'caution', alarm: 'alarm' } as const

/** Answers in words, one under the other. `size`: what its letters are set in is the caller's to say. */
export class GlanceLines extends LitElement {
  static override properties = { lines: { attribute: false } }
  static override styles = [
    shared,
    css`
    ul { display: grid; gap: 0.18em; }
    li { display: grid; grid-template-columns: auto minmax(0, 1fr); gap: 0 0.5em; align-items: baseline; line-height: 1.15; overflow-wrap: anywhere; }
    svg { width: 0.62em; height: 0.62em; }
    strong { font-weight: 600; }
    .alarm strong { background: var(--alarm); color: var(--on-alarm); padding: 0 0.2em; box-decoration-break: clone; -webkit-box-decoration-break: clone; }
    .caution strong { background: var(--caution); color: var(--on-caution); padding: 0 0.2em; box-decoration-break: clone; -webkit-box-decoration-break: clone; }
    .more { font-size: max(var(--glance-more, 0.58em), 1rem); color: var(--ink-soft); }
  `,
  ]
  declare lines: readonly GlanceLine[]
  constructor() {
    super()
    this.lines = []
  }

  override render() {
    return html`<ul aria-label=${atAGlance}>${this.lines.map(({ brief, more, tone }) => html`<li class=${tone}>${mark(signs[tone])}<span><strong>${brief}</strong>${more ? html` <span class="more">${more}</span>` : nothing}</span></li>`)}</ul>`
  }
}
customElements.define('glance-lines', GlanceLines)
