import { css, html, LitElement, nothing, svg } from 'lit'
import { hourMinuteSecondText, type Zone } from '../format/times.ts'
import { phaseFrom, phases } from '../texts/trends.ts'
import { type Shade, shadeMotif, shadeWidth, tileSize } from './phase-pattern.ts'
import { axisWidth } from './trend-axes.ts'

export interface RibbonPart {
  readonly shade: Shade
  readonly word: string
  readonly startMs: number
  readonly endMs: number
  /** The only channel that it is about; left out: all of the stream. */
  readonly channel?: string
}
const height = 30
/** Room that a letter takes; a word that does not fit is left to the legend. */
const letter = 7.6

/** The phases over time as one ribbon: pattern and word. Lies exactly above the strips. */
export class PhaseRibbon extends LitElement {
  static override properties = {
    parts: { attribute: false },
    fromMs: { type: Number },
    toMs: { type: Number },
    width: { type: Number },
    zone: { attribute: false },
    rightRoom: { type: Number },
  }
  static override styles = css`
    :host { display: block; height: ${height}px; overflow: hidden; }
    svg { display: block; }
    text { fill: var(--ink); font: 600 12px var(--font); }
    .band { stroke: var(--line); stroke-width: 1; fill: var(--panel); }
    .back { fill: var(--panel); }
    path { stroke: var(--edge); fill: none; }
    .fault path { stroke: var(--mark-alarm); }
  `
  declare parts: readonly RibbonPart[]
  declare fromMs: number
  declare toMs: number
  /** Of the plotting area, in pixels. */
  declare width: number
  declare zone: Zone | null
  declare rightRoom: number
  constructor() {
    super()
    this.parts = []
    this.fromMs = 0
    this.toMs = 1
    this.width = 0
    this.zone = null
    this.rightRoom = 0
  }

  override render() {
    const at = (ms: number) =>
      axisWidth + Math.min(1, Math.max(0, (ms - this.fromMs) / (this.toMs - this.fromMs))) * this.width
    const said = this.zone
      ? this.parts
          .slice(-12)
          .map((part) => phaseFrom(part.word, hourMinuteSecondText(part.startMs, this.zone as Zone)))
          .join(', ')
      : ''
    return html`<svg width=${this.width + axisWidth + this.rightRoom} height=${height} role="img" aria-label=${phases(said)}>
      <defs>${(Object.keys(shadeMotif) as Shade[]).filter((shade) => shadeMotif[shade]).map((shade) => svg`<pattern id=${`shade-${shade}`} class=${shade} width=${tileSize} height=${tileSize} patternUnits="userSpaceOnUse"><path d=${shadeMotif[shade]} stroke-width=${shadeWidth[shade] + 0.2}/></pattern>`)}</defs>
      ${this.parts.map((part) => {
        const [left, right] = [at(part.startMs), at(part.endMs)]
        const width = right - left
        if (width < 0.5) return nothing
        const wordWidth = part.word.length * letter + 8
        return svg`<g><rect class="band" x=${left} y="2" width=${width} height=${height - 6}></rect>
          ${shadeMotif[part.shade] ? svg`<rect x=${left} y="2" width=${width} height=${height - 6} fill=${`url(#shade-${part.shade})`}></rect>` : nothing}
          ${width > wordWidth ? svg`<rect class="back" x=${left + 3} y="6" width=${wordWidth} height=${height - 14}></rect><text x=${left + 7} y="19">${part.word}</text>` : nothing}</g>`
      })}
    </svg>`
  }
}
customElements.define('phase-ribbon', PhaseRibbon)
