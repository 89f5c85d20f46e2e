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
  /** Too short to be drawn to scale: shown by a mark at its place. */
  readonly isMark?: true
  /** Stands for several that are narrower than a pixel. */
  readonly isFolded?: true
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
    pattern path { stroke: var(--edge); fill: none; }
    pattern.fault path { stroke: var(--mark-alarm); }
    .mark { fill: var(--ink); }
    .mark.fault { fill: var(--mark-alarm); }
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

  /** Bands with their patterns and words. One path for all of a kind: a month has hundreds. */
  private layer(parts: readonly RibbonPart[], at: (ms: number) => number) {
    const outlines = (of: readonly RibbonPart[]) =>
      of.map(({ startMs, endMs }) => `M${at(startMs)} 2H${at(endMs)}v${height - 6}H${at(startMs)}z`).join('')
    return svg`<path class="band" d=${outlines(parts)}></path>
      ${[...new Set(parts.map(({ shade }) => shade))].map((shade) => (shadeMotif[shade] ? svg`<path fill=${`url(#shade-${shade})`} d=${outlines(parts.filter((part) => part.shade === shade))}></path>` : nothing))}
      ${parts.map(({ startMs, endMs, word }) => {
        const left = at(startMs)
        const wordWidth = word.length * letter + 8
        return at(endMs) - left > wordWidth
          ? svg`<rect class="back" x=${left + 3} y="6" width=${wordWidth} height=${height - 14}></rect><text x=${left + 7} y="19">${word}</text>`
          : nothing
      })}`
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
    const drawn = this.parts.filter((part) => !part.isMark && at(part.endMs) - at(part.startMs) >= 0.5)
    return html`<svg width=${this.width + axisWidth + this.rightRoom} height=${height} role="img" aria-label=${phases(said)}>
      <defs>${(Object.keys(shadeMotif) as Shade[]).filter((shade) => shadeMotif[shade]).map((shade) => svg`<pattern id=${`shade-${shade}`} class=${shade} width=${tileSize} height=${tileSize} patternUnits="userSpaceOnUse"><path d=${shadeMotif[shade]} stroke-width=${shadeWidth[shade] + 0.2}/></pattern>`)}</defs>
      ${this.layer(
        drawn.filter(({ channel }) => channel === undefined),
        at,
      )}${this.layer(
        drawn.filter(({ channel }) => channel !== undefined),
        at,
      )}
      ${(Object.keys(shadeMotif) as Shade[]).map((shade) => {
        const marks = this.parts.filter((part) => part.isMark && part.shade === shade)
        return marks.length
          ? svg`<path class=${`mark ${shade}`} d=${marks.map(({ startMs }) => `M${at(startMs) - 1} ${height - 9}h2v6h-2z`).join('')}></path>`
          : nothing
      })}
    </svg>`
  }
}
customElements.define('phase-ribbon', PhaseRibbon)
