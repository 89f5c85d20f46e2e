import { css, html, LitElement, nothing, svg } from 'lit'

/** Where a running block stands against its limit, on one line: mean so far, likely range, limit. All in the limit's unit. */
export class OutlookScale extends LitElement {
  static override properties = {
    soFar: { attribute: false },
    low: { attribute: false },
    high: { attribute: false },
    limit: { type: Number },
    beyond: { type: Boolean },
    label: { type: String },
  }
  static override styles = css`
    :host { display: block; height: 26px; }
    svg { width: 100%; height: 100%; display: block; overflow: visible; }
    .base { fill: var(--line); }
    .range { fill: var(--ink-faint); }
    .limit { fill: var(--mark-alarm); }
    .so-far { fill: var(--ink); }
    .over { fill: var(--mark-alarm); }
  `
  declare soFar: number | null
  declare low: number | null
  declare high: number | null
  declare limit: number
  declare beyond: boolean
  declare label: string
  constructor() {
    super()
    this.soFar = this.low = this.high = null
    this.limit = 1
    this.beyond = false
    this.label = ''
  }

  override render() {
    const top = Math.max(this.limit * 1.3, (this.high ?? 0) * 1.08, (this.soFar ?? 0) * 1.08)
    const at = (value: number) => `${Math.min(100, Math.max(0, (value / top) * 100))}%`
    const { low, high, soFar } = this
    return html`<svg role="img" aria-label=${this.label}>
      <rect class="base" x="0" y="12" width="100%" height="2"></rect>
      ${low === null || high === null ? nothing : svg`<rect class=${this.beyond ? 'over' : 'range'} x=${at(Math.max(0, low))} y="8" width=${at(high - Math.max(0, low))} height="10"></rect>`}
      ${soFar === null ? nothing : svg`<svg x=${at(soFar)} y="0" width="1" height="26" overflow="visible"><path class="so-far" d="M-6 1h12l-6 9z"></path></svg>`}
      <rect class="limit" x=${at(this.limit)} y="0" width="3" height="26"></rect>
    </svg>`
  }
}
customElements.define('outlook-scale', OutlookScale)
