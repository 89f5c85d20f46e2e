import { css, html, LitElement, type PropertyValues, unsafeCSS } from 'lit'
import uPlot from 'uplot'
import uplotStyles from 'uplot/dist/uPlot.min.css?inline'
import { numberText } from '../format/numbers.ts'
import { timeText, type Zone } from '../format/times.ts'
import type { Picture } from '../history.ts'
import { noValue } from '../texts/everywhere.ts'
import { inkFor } from './canvas-ink.ts'
import { inTurn } from './in-turn.ts'
import { tell } from './tell.ts'
import { axisWidth, bareEdge, rightRoom, timeAxis, valueAxis } from './trend-axes.ts'
import { watchGestures } from './trend-gestures.ts'
import { noMarks, paintBeside, paintOver, paintShades, type TrendMarks } from './trend-paint.ts'
import { axisRange, countedExtremes, type ScaleWish } from './trend-scale.ts'

/** Another channel laid over, with an axis of its own at the right. */
export interface Beside {
  readonly name: string
  readonly unit: string
  readonly axisUnit: string
  readonly decimals: number
  readonly picture: Picture
  readonly range: readonly [number, number]
}

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
    axisUnit: { type: String },
    beside: { attribute: false },
  }
  static override styles = [
    unsafeCSS(uplotStyles),
    css`
    :host { display: block; position: relative; min-width: 0; }
    .chart { touch-action: pan-y; overflow: clip; height: 100%; min-height: var(--strip-height, 104px); }
    .cursor { position: absolute; top: 2px; right: 14px; padding: 0 6px; font-size: var(--size-small); background: var(--panel); color: var(--ink); pointer-events: none; z-index: 2; font-variant-numeric: tabular-nums; }
    .chart:focus-visible { outline: 3px solid var(--action); outline-offset: -1px; }
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
  /** As the cursor says it. */
  declare unit: string
  /** As it stands beside the axis. */
  declare axisUnit: string
  declare withTimes: boolean
  declare beside: Beside | null
  private releaseGestures: () => void = () => {}
  private plot: uPlot | null = null
  private watcher: ResizeObserver | null = null
  private readonly schemes = matchMedia('(prefers-color-scheme: dark)')
  /** At once, so that its cost is known; else the plot would draw after the frame's other work. */
  private readonly draw = () => this.plot?.batch((plot: uPlot) => plot.setData(this.data()))
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
    this.axisUnit = ''
    this.withTimes = false
    this.beside = null
  }

  override connectedCallback(): void {
    super.connectedCallback()
    this.watcher = new ResizeObserver(() => this.fit())
    this.watcher.observe(this)
    this.schemes.addEventListener('change', this.repaint)
    this.catchGestures()
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.watcher?.disconnect()
    this.schemes.removeEventListener('change', this.repaint)
    this.releaseGestures()
    this.release()
  }
  private release(): void {
    this.plot?.destroy()
    this.plot = null
  }

  private catchGestures(): void {
    const { box } = this
    if (!box) return
    this.releaseGestures()
    const area = () => (this.plot?.over ?? box).getBoundingClientRect()
    this.releaseGestures = watchGestures(box, area, (wish) => tell(this, 'trend-gesture', wish))
  }
  protected override firstUpdated(): void {
    this.catchGestures()
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
    tell(this, 'trend-width', this.plotPixels)
  }
  /** Width of the plotting area; 0 before it stands. */
  get plotPixels(): number {
    return this.plot ? this.plot.width - axisWidth - rightRoom(this.beside !== null) : 0
  }

  private made(box: HTMLElement, size: { width: number; height: number }): uPlot {
    const ink = () => inkFor(this)
    return new uPlot(
      {
        ...size,
        legend: { show: false },
        padding: [4, this.beside ? 0 : bareEdge, this.withTimes ? 0 : 4, 0],
        cursor: {
          sync: { key: 'flueledger', scales: ['x', null] },
          drag: { x: true, y: false, setScale: false, dist: 6 },
          points: { show: false },
          y: false,
        },
        scales: {
          x: { time: false, range: () => [this.fromMs / 1000, this.toMs / 1000] },
          y: { range: (_plot, low, high) => this.range(low, high) },
          ...(this.beside ? { beside: { range: () => [...(this.beside?.range ?? [0, 1])] as [number, number] } } : {}),
        },
        axes: [
          timeAxis(this.withTimes, ink, () => this),
          valueAxis('y', ink, () => this.axisUnit),
          ...(this.beside ? [valueAxis('beside', ink, () => this.beside?.axisUnit ?? '')] : []),
        ],
        series: [
          {},
          { stroke: () => ink().trace, width: 1, spanGaps: false, points: { show: false } },
          // Without values of its own: it holds the right axis. The trace is painted, since its points lie elsewhere.
          ...(this.beside ? [{ scale: 'beside', points: { show: false } }] : []),
        ],
        hooks: {
          drawClear: [(plot) => paintShades(plot, this.marks, ink())],
          draw: [
            (plot) => {
              if (this.beside) paintBeside(plot, this.beside.picture, ink())
              paintOver(plot, this.marks, ink())
            },
          ],
          setCursor: [(plot) => this.tellCursor(plot)],
          setSelect: [(plot) => this.tellSelection(plot)],
        },
      },
      this.data(),
      box,
    )
  }

  private data(): uPlot.AlignedData {
    const { x, y } = this.picture
    return this.beside ? [x, y, x.map(() => null)] : [x, y]
  }
  /** What counts fills the chart: a purge may leave it, and its band says so. */
  private range(lowSeen: number | null, highSeen: number | null): [number, number] {
    const padMs =
      (2 * (this.toMs - this.fromMs)) / Math.max(1, this.clientWidth - axisWidth - rightRoom(this.beside !== null))
    const [low, high] = countedExtremes(this.picture, this.marks.apart, padMs) ?? [lowSeen, highSeen]
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
      shown.textContent = `${timeText(plot.posToVal(left, 'x') * 1000, this.zone)} · ${value == null ? noValue : `${numberText(value, this.decimals)} ${this.unit}`}${this.besideText(plot.posToVal(left, 'x'))}`
  }
  private besideText(seconds: number): string {
    const { beside } = this
    if (!beside) return ''
    const value = beside.picture.y[beside.picture.x.findLastIndex((at) => at <= seconds)]
    return ` · ${beside.name} ${value == null ? noValue : `${numberText(value, beside.decimals)} ${beside.unit}`}`
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
    // Another axis is another plot.
    if (changed.has('beside') && (changed.get('beside') == null) !== (this.beside === null)) this.release()
    if (!this.plot) this.fit()
    else if (changed.size) inTurn(this.draw)
  }

  override render() {
    return html`<div class="chart" role="img" tabindex="0" aria-label=${this.label}></div><span class="cursor" aria-hidden="true"></span>`
  }
}
customElements.define('trend-strip', TrendStrip)
