import { css, html, LitElement, nothing, type PropertyValues, unsafeCSS } from 'lit'
import uPlot from 'uplot'
import uplotStyles from 'uplot/dist/uPlot.min.css?inline'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import type { RecordingSummary } from '../../../protocols/live/requests.ts'
import { askChannels, askSeries } from '../../answers.ts'
import { durationText } from '../../format/durations.ts'
import { numberText } from '../../format/numbers.ts'
import { unitName } from '../../format/units.ts'
import { inkFor } from '../../parts/canvas-ink.ts'
import { errorLine } from '../../parts/errors.ts'
import { shared } from '../../styles/shared.ts'
import { channel } from '../../texts/everywhere.ts'
import * as recordingTexts from '../../texts/recordings.ts'

const secondDash = [7, 5]
const hourMs = 3_600_000

interface Trace {
  /** Hours since the run's own start. */
  readonly x: number[]
  readonly y: (number | null)[]
}

/** Two recordings on one chart, both from their own start: a before and an after, or two runs of a test. */
export class TwoRuns extends LitElement {
  static override properties = {
    runs: { attribute: false },
    nowMs: { type: Number },
    channels: { state: true },
    channel: { state: true },
    trouble: { state: true },
    traces: { state: true },
  }
  static override styles = [
    shared,
    unsafeCSS(uplotStyles),
    css`
    :host { display: grid; gap: var(--gap); border-top: 1px solid var(--line); border-bottom: 1px solid var(--line); padding: var(--gap) 0; min-width: 0; }
    .head { display: flex; flex-wrap: wrap; gap: 12px 28px; align-items: end; }
    .chart { height: 320px; min-width: 0; overflow: clip; }
    .uplot { font-family: var(--font); }
    .key { display: flex; gap: 8px; align-items: center; }
  `,
  ]
  declare runs: readonly [RecordingSummary, RecordingSummary]
  /** Where the one that is still running ends. */
  declare nowMs: number
  declare channels: readonly ChannelInfo[]
  declare channel: string
  declare trouble: string
  declare traces: readonly Trace[]
  private plot: uPlot | null = null
  private asking: AbortController | null = null
  private readonly sizes = new ResizeObserver(() => this.draw())

  constructor() {
    super()
    this.nowMs = 0
    this.channels = []
    this.channel = ''
    this.trouble = ''
    this.traces = []
  }

  override connectedCallback(): void {
    super.connectedCallback()
    this.sizes.observe(this)
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.sizes.disconnect()
    this.asking?.abort()
    this.plot?.destroy()
    this.plot = null
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    const ids = (runs: readonly RecordingSummary[] | undefined) => runs?.map(({ id }) => id).join('/')
    if (changed.has('runs') && ids(changed.get('runs')) !== ids(this.runs)) void this.askBoth()
  }

  private async askBoth(): Promise<void> {
    const found = await Promise.all(this.runs.map(({ id }) => askChannels(id)))
    const lists = found.map((answer) => (answer.ok ? answer.value.channels : []))
    this.trouble = found.flatMap((answer) => (answer.ok ? [] : answer.errors)).join(' ')
    // What has another unit in the other run cannot share its axis.
    this.channels = (lists[0] ?? []).filter((one) =>
      lists[1]?.some(({ id, unit }) => id === one.id && unit === one.unit),
    )
    const kept = this.channels.some(({ id }) => id === this.channel)
    await this.show(kept ? this.channel : (this.channels[0]?.id ?? ''))
  }

  private async show(channel: string): Promise<void> {
    this.channel = channel
    this.traces = []
    this.asking?.abort()
    const asking = new AbortController()
    this.asking = asking
    if (channel === '') return
    const answers = await Promise.all(
      this.runs.map(({ id, startMs, endMs }) =>
        askSeries(
          id,
          { channels: channel, value: 'corrected', from: startMs ?? 0, to: endMs ?? this.nowMs, columns: 1200 },
          asking.signal,
        ),
      ),
    )
    if (asking.signal.aborted) return
    this.trouble = answers.flatMap((answer) => (answer.ok ? [] : answer.errors)).join(' ')
    this.traces = answers.map((answer, index): Trace => {
      const start = this.runs[index]?.startMs ?? 0
      return answer.ok
        ? {
            x: answer.value.atMs.map((at) => (at - start) / hourMs),
            y: [...(answer.value.channels[channel]?.last ?? [])],
          }
        : { x: [], y: [] }
    })
  }

  protected override updated(): void {
    this.draw()
  }

  private draw(): void {
    const box = this.renderRoot.querySelector<HTMLElement>('.chart')
    this.plot?.destroy()
    this.plot = null
    if (!box || box.clientWidth < 60 || !this.traces.some(({ y }) => y.some((value) => value !== null))) return
    const ink = inkFor(this)
    const axis = { stroke: ink.faint, font: '12px system-ui, sans-serif', grid: { stroke: ink.line, width: 1 } }
    const line = { stroke: ink.trace, width: 1.5, spanGaps: false, points: { show: false } }
    const [first, second] = this.traces
    // An instant that only the other run has is left out of the line, a gap of its own stays one.
    const data = uPlot.join([
      [first?.x ?? [], first?.y ?? []],
      [second?.x ?? [], second?.y ?? []],
    ])
    this.plot = new uPlot(
      {
        width: box.clientWidth,
        height: box.clientHeight,
        legend: { show: false },
        cursor: { y: false },
        scales: { x: { time: false } },
        axes: [
          {
            ...axis,
            space: 96,
            values: (_plot, splits) =>
              splits.map((hours) => (hours === 0 ? recordingTexts.chartStart : durationText(hours * hourMs))),
          },
          {
            ...axis,
            size: 58,
            values: (_plot, splits) => splits.map((value) => numberText(value, value % 1 === 0 ? 0 : 1)),
          },
        ],
        series: [{}, line, { ...line, stroke: ink.action, width: 2, dash: secondDash }],
      },
      data,
      box,
    )
  }

  override render() {
    const [one, other] = this.runs
    const shown = this.channels.find(({ id }) => id === this.channel)
    const key = (run: RecordingSummary, dash: string, ink: string) =>
      html`<span class="key"><svg width="40" height="10" aria-hidden="true"><line x1="0" y1="5" x2="40" y2="5" stroke=${`var(${ink})`} stroke-width="2" stroke-dasharray=${dash}></line></svg>${run.name || run.id}</span>`
    return html`<div class="head"><h2>${recordingTexts.twoRuns}</h2>
        <label>${channel}<select @change=${(event: Event) => this.show((event.target as HTMLSelectElement).value)}>${this.channels.map(({ id, name, unit }) => html`<option value=${id} ?selected=${id === this.channel}>${name}, ${unitName(unit)}</option>`)}</select></label>
        ${key(one, '', '--trace')}${key(other, secondDash.join(' '), '--action')}</div>
      <p class="soft small">${recordingTexts.twoRunsSaid}</p>
      ${errorLine(this.trouble)}
      ${this.channels.length === 0 && !this.trouble ? html`<p class="soft">${recordingTexts.nothingCommon}</p>` : nothing}
      <div class="chart" role="img" aria-label=${recordingTexts.chartOf(shown?.name ?? '', one.name || one.id, other.name || other.id)}></div>`
  }
}
customElements.define('two-runs', TwoRuns)
