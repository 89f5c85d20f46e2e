import { css, html, LitElement, nothing } from 'lit'
import { decimalMark, numberText } from '../../format/numbers.ts'
import { dayTimeText, hourMinuteSecondText, hourMinuteText, isoText, type Zone } from '../../format/times.ts'
import { copyText, tabSeparated } from '../../parts/copy-text.ts'
import type { RibbonPart } from '../../parts/phase-ribbon.ts'
import type { TrendMarks } from '../../parts/trend-paint.ts'
import { shared } from '../../styles/shared.ts'
import { copied, copyFailed } from '../../texts/averages.ts'
import { close, copyAsTable, fromTo } from '../../texts/everywhere.ts'
import * as readingTexts from '../../texts/trend-reading.ts'
import { longRows } from '../../texts/trends.ts'
import { stepFor } from './table-steps.ts'

/** What a chart shows, for reading. */
export interface TableOf {
  readonly name: string
  readonly unit: string
  readonly decimals: number
  readonly zone: Zone
  readonly fromMs: number
  readonly toMs: number
  readonly parts: readonly RibbonPart[]
  /** null: a row is longer than a block, and no mean of one block is that of the row. */
  readonly steps: TrendMarks['steps'] | null
  readonly values: (stepMs: number) => readonly ({ readonly low: number; readonly high: number } | null)[]
}
/** A chart as a table: for whoever reads better than looks, for a screen reader, and for a spreadsheet. */
export class TrendTable extends LitElement {
  static override properties = { of: { attribute: false }, copied: { state: true } }
  static override styles = [
    shared,
    css`
    dialog { width: min(820px, calc(100vw - 24px)); }
    .inside { display: grid; gap: var(--gap); }
    .scroll { overflow: auto; max-height: 60dvh; }
    table { width: 100%; }
    th, td { text-align: left; padding: 5px 16px 5px 0; border-top: 1px solid var(--line); font-weight: 400; }
    thead th { color: var(--ink-soft); font-size: var(--size-small); border: 0; }
    .number { text-align: right; }
    @media (max-width: 480px) { dialog { padding: 16px; } th, td { padding-right: 8px; } td:last-child { font-size: var(--size-small); } }
    .buttons { align-items: center; }
  `,
  ]
  declare of: TableOf | null
  declare copied: string
  constructor() {
    super()
    this.of = null
    this.copied = ''
  }

  async open(of: TableOf): Promise<void> {
    this.of = of
    this.copied = ''
    await this.updateComplete
    this.dialog?.showModal()
  }
  private get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog')
  }

  private rows({ fromMs, toMs, parts, steps, values }: TableOf) {
    const stepMs = stepFor(toMs - fromMs)
    const firstMs = Math.ceil(fromMs / stepMs) * stepMs
    const found = values(stepMs)
    const rows = found.map((value, index) => {
      const startMs = firstMs + index * stepMs
      const endMs = startMs + stepMs
      const overlaps = (one: { readonly startMs: number; readonly endMs: number }) =>
        one.startMs < endMs && one.endMs > startMs
      const words = [...new Set(parts.filter(overlaps).map(({ word }) => word))].join(', ')
      const mean = steps?.find((step) => step.startMs <= startMs && step.endMs > startMs)
      return { startMs, value, words, mean: mean?.mean ?? null, isValid: mean?.valid !== false && !mean?.isOpen }
    })
    // Where the stretch begins before the recording there is nothing to read.
    const first = rows.findIndex(({ value, words }) => value !== null || words !== '')
    return first < 0 ? rows : rows.slice(first)
  }

  private async copy(of: TableOf): Promise<void> {
    const rows = this.rows(of).map(({ startMs, value, words, mean, isValid }) => [
      isoText(startMs, of.zone),
      value?.low ?? null,
      value?.high ?? null,
      mean,
      mean === null || isValid ? '' : readingTexts.runningOrInvalid,
      words,
    ])
    const heading = [
      readingTexts.from,
      ...[readingTexts.lowest, readingTexts.highest, readingTexts.blockMean].map((one) =>
        readingTexts.inUnit(one, of.unit),
      ),
      readingTexts.block,
      readingTexts.phases,
    ]
    const done = await copyText(tabSeparated([heading, ...rows], decimalMark()))
    this.copied = done ? copied : copyFailed
  }

  override render() {
    const { of } = this
    return html`<dialog aria-labelledby="title">${of ? this.inside(of) : nothing}</dialog>`
  }

  private inside(of: TableOf) {
    const { zone, decimals, name, unit } = of
    const time = stepFor(of.toMs - of.fromMs) < 60_000 ? hourMinuteSecondText : hourMinuteText
    const figure = (value: number | null | undefined) => (value == null ? '–' : numberText(value, decimals))
    return html`<div class="inside"><h2 id="title">${name}, ${unit}: ${fromTo(dayTimeText(of.fromMs, zone), dayTimeText(of.toMs, zone))}</h2>
      <div class="scroll" tabindex="0" role="region" aria-label=${readingTexts.figures}><table><thead><tr><th scope="col">${readingTexts.from}</th><th scope="col" class="number">${readingTexts.lowest}</th><th scope="col" class="number">${readingTexts.highest}</th><th scope="col" class="number">${readingTexts.blockMean}</th><th scope="col">${readingTexts.phases}</th></tr></thead>
        <tbody>${this.rows(of).map(({ startMs, value, words, mean, isValid }) => html`<tr><th scope="row">${time(startMs, zone)}</th><td class="number">${figure(value?.low)}</td><td class="number">${figure(value?.high)}</td><td class="number">${figure(mean)}${mean === null || isValid ? nothing : html` <span class="small soft">${readingTexts.runningOrInvalid}</span>`}</td><td>${words}</td></tr>`)}</tbody></table></div>
      ${of.steps ? nothing : html`<p class="small soft">${longRows}</p>`}
      <div class="buttons"><span role="status" class="small">${this.copied}</span><button class="gloves" @click=${() => void this.copy(of)}>${copyAsTable}</button><button class="main gloves" autofocus @click=${() => this.dialog?.close()}>${close}</button></div></div>`
  }
}
customElements.define('trend-table', TrendTable)
