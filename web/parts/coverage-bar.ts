import { css, html, LitElement, svg } from 'lit'

/** How much of a block counts: counted, needed, and how far its time has gone. Shares 0…1. */
export class CoverageBar extends LitElement {
  static override properties = {
    counted: { type: Number },
    elapsed: { type: Number },
    needed: { attribute: false },
    label: { type: String },
  }
  static override styles = css`
    :host { display: block; height: 18px; }
    svg { width: 100%; height: 100%; display: block; overflow: visible; }
    .frame { fill: var(--panel); stroke: var(--edge); }
    .elapsed { fill: var(--line); }
    .counted { fill: var(--ink-soft); }
    .needed { fill: var(--ink); }
  `
  declare counted: number
  declare elapsed: number
  /** Where the validity rule is met; null where it has no such place. */
  declare needed: number | null
  declare label: string
  constructor() {
    super()
    this.counted = 0
    this.elapsed = 1
    this.needed = null
    this.label = ''
  }

  override render() {
    const wide = (share: number) => `${Math.min(1, Math.max(0, share)) * 100}%`
    return html`<svg role="img" aria-label=${this.label} preserveAspectRatio="none">
      <rect class="frame" x="0" y="3" width="100%" height="12"></rect>
      <rect class="elapsed" x="0" y="3" width=${wide(this.elapsed)} height="12"></rect>
      <rect class="counted" x="0" y="3" width=${wide(this.counted)} height="12"></rect>
      ${this.needed === null ? '' : svg`<rect class="needed" x=${wide(this.needed)} y="0" width="2.5" height="18"></rect>`}
    </svg>`
  }
}
customElements.define('coverage-bar', CoverageBar)
