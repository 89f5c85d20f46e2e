import { css, html, LitElement, type PropertyValues, unsafeCSS } from 'lit'
import uPlot from 'uplot'
import uplotStyles from 'uplot/dist/uPlot.min.css?inline'
import { numberText } from '../format/numbers.ts'
import { axisInstants, axisText, timeText, type Zone } from '../format/times.ts'
import type { Picture } from '../history.ts'
import { inkFor } from './canvas-ink.ts'
import { tell } from './tell.ts'
import { noMarks, paintOver, paintShades, type TrendMarks } from './trend-paint.ts'
import { axisRange, countedExtremes, type ScaleWish } from './trend-scale.ts'

/** Room for the numbers of the axis, and at the right edge; the ribbon above keeps to the same. */
export const axisWidth = 54
export const rightRoom = 10

/** One channel over time: trace, limits, block means as steps, phases as bands. The cursor is shared by all strips. */
export class TrendStrip extends LitElement {
  static override properties = {
    picture: { attribute: false },
    marks: { attribute: false },
    fromMs: { type: Number },
    toMs: { type: Number },
    zone: { attribute: false },
    decimals: { type: Number },
    scale: { attribute: false },
    label: { type: String },
    withTimes: { type: Boolean },
    unit: { type: String },
  }
  static override styles = [
    unsafeCSS(uplotStyles),
    css`
    :host { display: block; position: relative; min-width: 0; }
    .chart { height: 100%; min-height: var(--strip-height, 104px); }
    .cursor { position: absolute; top: 2px; right: 14px; padding: 0 6px; font-size: var(--size-small); background: var(--panel); color: var(--ink); pointer-events: none; z-index: 2; font-variant-numeric: tabular-nums; }
    .cursor:empty { display: none; }
    .uplot { font-family: var(--font); }
    .u-select { background: color-mix(in srgb, var(--action) 28%, transparent); }
    .u-cursor-x { border-right: 1px solid var(--ink) !important; }
    .u-cursor-y { display: none; }
  `,
  ]
  declare picture: Picture
  declare marks: TrendMarks
  declare fromMs: number
  declare toMs: number
  declare zone: Zone | null
  declare decimals: number
  declare scale: ScaleWish
  declare label: string
  declare unit: string
  declare withTimes: boolean
  private plot: uPlot | null = null
  private watcher: ResizeObserver | null = null
  private readonly schemes = matchMedia('(prefers-color-scheme: dark)')
  private readonly repaint = () => this.plot?.redraw(false, false)

  constructor() {
    super()
    this.picture = { x: [], y: [] }
    this.marks = noMarks
    this.fromMs = 0
    this.toMs = 1
    this.zone = null
    this.decimals = 0
    this.scale = { fromZero: true, limits: [], leastSpan: 1 }
    this.label = ''
    this.unit = ''
    this.withTimes = false
  }

  override connectedCallback(): void {
    super.connectedCallback()
    this.watcher = new ResizeObserver(() => this.fit())
    this.watcher.observe(this)
    this.schemes.addEventListener('change', this.repaint)
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.watcher?.disconnect()
    this.schemes.removeEventListener('change', this.repaint)
    this.plot?.destroy()
    this.plot = null
  }

  private get box(): HTMLElement | null {
    return this.renderRoot.querySelector<HTMLElement>('.chart')
  }

  private fit(): void {
    const box = this.box
    if (!box || box.clientWidth < 40 || box.clientHeight < 30) return
    const size = { width: box.clientWidth, height: box.clientHeight }
    if (this.plot) this.plot.setSize(size)
    else this.plot = this.made(box, size)
    tell(this, 'trend-width', size.width - axisWidth - rightRoom)
  }

  private made(box: HTMLElement, size: { width: number; height: number }): uPlot {
    const ink = () => inkFor(this)
    const axisFont = '12px system-ui, sans-serif'
    return new uPlot(
      {
        ...size,
        legend: { show: false },
        padding: [4, rightRoom, this.withTimes ? 0 : 4, 0],
        cursor: {
          sync: { key: 'flueledger', scales: ['x', null] },
          drag: { x: true, y: false, setScale: false, dist: 6 },
          points: { show: false },
          y: false,
        },
        scales: {
          x: { time: false, range: () => [this.fromMs / 1000, this.toMs / 1000] },
          y: { range: (_plot, low, high) => this.range(low, high) },
        },
        axes: [
          {
            show: this.withTimes,
            size: 26,
            font: axisFont,
            stroke: () => ink().faint,
            grid: { show: false },
            ticks: { stroke: () => ink().line, size: 5 },
            // A time whose text would be cut off at the edge is left out.
            splits: (plot) =>
              this.zone
                ? axisInstants(
                    this.fromMs,
                    this.toMs - ((this.toMs - this.fromMs) * 14) / plot.width,
                    plot.width / 92,
                    this.zone,
                  ).map((ms) => ms / 1000)
                : [],
            values: (_plot, splits) =>
              splits.map((at, index) =>
                this.zone
                  ? axisText(
                      at * 1000,
                      ((splits[index + 1] ?? at) - (index ? (splits[index - 1] ?? at) : at)) * 1000,
                      this.zone,
                    )
                  : '',
              ),
          },
          {
            size: axisWidth,
            font: axisFont,
            stroke: () => ink().faint,
            space: 26,
            ticks: { show: false },
            grid: { stroke: () => ink().line, width: 1 },
            values: (_plot, splits) => splits.map((value) => numberText(value, decimalsOf(splits))),
          },
        ],
        series: [{}, { stroke: () => ink().trace, width: 1.4, spanGaps: false, points: { show: false } }],
        hooks: {
          drawClear: [(plot) => paintShades(plot, this.marks, ink())],
          draw: [(plot) => paintOver(plot, this.marks, ink())],
          setCursor: [(plot) => this.tellCursor(plot)],
          setSelect: [(plot) => this.tellSelection(plot)],
        },
      },
      this.data(),
      box,
    )
  }

  /** Pinching on a touchpad arrives as a wheel with the control key; a plain wheel goes on scrolling the page. */
  private wheeled(event: WheelEvent): void {
    const { plot } = this
    if (!plot || !event.ctrlKey) return
    event.preventDefault()
    const left = event.clientX - plot.over.getBoundingClientRect().left
    tell(this, 'trend-zoom', { aboutMs: plot.posToVal(left, 'x') * 1000, factor: event.deltaY > 0 ? 1.5 : 1 / 1.5 })
  }

  private data(): uPlot.AlignedData {
    return [this.picture.x, this.picture.y]
  }
  /** What counts fills the chart: a purge may leave it, and its band says so. */
  private range(lowSeen: number | null, highSeen: number | null): [number, number] {
    const padMs = (2 * (this.toMs - this.fromMs)) / Math.max(1, this.clientWidth - axisWidth - rightRoom)
    const [low, high] = countedExtremes(this.picture, this.marks.shades, padMs) ?? [lowSeen, highSeen]
    const means = this.marks.steps
      .filter((step) => step.endMs > this.fromMs && step.startMs < this.toMs)
      .map((step) => step.mean)
    return axisRange(
      Math.min(low ?? Number.POSITIVE_INFINITY, ...means),
      Math.max(high ?? Number.NEGATIVE_INFINITY, ...means),
      this.scale,
    )
  }

  private tellCursor(plot: uPlot): void {
    const shown = this.renderRoot.querySelector('.cursor')
    if (!shown) return
    const { left, idx } = plot.cursor
    const value = idx == null ? null : this.picture.y[idx]
    if (left == null || left < 0 || !this.zone) shown.textContent = ''
    else
      shown.textContent = `${timeText(plot.posToVal(left, 'x') * 1000, this.zone)} · ${value == null ? 'no value' : `${numberText(value, this.decimals)} ${this.unit}`}`
  }
  private tellSelection(plot: uPlot): void {
    const { left, width } = plot.select
    if (width < 6) return
    tell(this, 'trend-select', {
      fromMs: plot.posToVal(left, 'x') * 1000,
      toMs: plot.posToVal(left + width, 'x') * 1000,
    })
    plot.setSelect({ left: 0, top: 0, width: 0, height: 0 }, false)
  }

  protected override updated(changed: PropertyValues): void {
    if (!this.plot) this.fit()
    else if (changed.size) this.plot.setData(this.data())
  }

  override render() {
    return html`<div class="chart" @wheel=${this.wheeled} role="img" aria-label=${this.label}></div><span class="cursor" aria-hidden="true"></span>`
  }
}
/** As many decimals as tell the marks of an axis apart. */
const decimalsOf = (splits: readonly number[]): number => {
  const step = Math.abs((splits[1] ?? 1) - (splits[0] ?? 0)) || 1
  return Math.max(0, Math.min(3, Math.ceil(-Math.log10(step) - 1e-9)))
}
customElements.define('trend-strip', TrendStrip)
