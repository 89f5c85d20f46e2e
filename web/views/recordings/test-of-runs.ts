import { css, html, LitElement, nothing, type PropertyValues } from 'lit'
import type { RecordingSummary } from '../../../protocols/live/requests.ts'
import type { TestAnswer, TestRow } from '../../../protocols/live/test.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { durationText } from '../../format/durations.ts'
import { decimalMark, numberText, uncertainTexts } from '../../format/numbers.ts'
import { resultText } from '../../format/rounding.ts'
import { rowUnitText } from '../../format/units.ts'
import { copyText } from '../../parts/copy-text.ts'
import { errorLines } from '../../parts/errors.ts'
import { mark } from '../../parts/marks.ts'
import { shared } from '../../styles/shared.ts'
import { copied, copyFailed, detectionWords, invalid as invalidWord, reasonWords } from '../../texts/averages.ts'
import * as everywhere from '../../texts/everywhere.ts'
import * as testTexts from '../../texts/test-of-runs.ts'
import { rowVerdicts } from '../averages/row-verdict.ts'
import { askTest, copiedTest, distinctNames, runNames } from './test-answer.ts'

/** A test of the recordings that were chosen: mean of the run means, spread, validity and verdict. Nothing is stored. */
export class TestOfRuns extends LitElement {
  static override properties = {
    runs: { attribute: false },
    answer: { state: true },
    errors: { state: true },
    busy: { state: true },
    copied: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap); border-top: 1px solid var(--line); border-bottom: 1px solid var(--line); padding: var(--gap) 0; min-width: 0; }
    .plate { background: var(--caution); color: var(--on-caution); border: 1px solid var(--caution-edge); padding: 0 8px; font-size: var(--size-small); font-weight: 600; justify-self: start; }
    table { width: 100%; }
    th, td { text-align: left; padding: 6px 18px 6px 0; border-top: 1px solid var(--line); vertical-align: top; }
    thead th { border: 0; font-weight: 500; color: var(--ink-soft); font-size: var(--size-small); }
    tbody th { font-weight: 600; }
    .number { white-space: nowrap; }
    .mean { font-weight: 600; font-size: 1.1rem; }
    .invalid { font-weight: 400; color: var(--ink-faint); text-decoration: line-through; }
    .state { display: inline-flex; gap: 6px; align-items: center; }
    @media (max-width: 820px) {
      table, tbody { display: block; }
      thead { display: none; }
      tr { display: grid; gap: 4px; padding: 8px 0; border-top: 1px solid var(--line); }
      th, td { border: 0; padding: 0; }
      td[data-label] { display: grid; grid-template-columns: 8.5rem minmax(0, 1fr); gap: 0 12px; }
      td[data-label]::before { content: attr(data-label); color: var(--ink-soft); font-size: var(--size-small); overflow-wrap: anywhere; }
    }
    .beyond { background: var(--alarm); color: var(--on-alarm); padding: 0 6px; }
  `,
  ]
  declare runs: readonly RecordingSummary[]
  declare answer: TestAnswer | null
  declare errors: readonly string[]
  declare busy: boolean
  declare copied: string
  /** The runs that the answer, or the question under way, is of. */
  private askedFor = ''
  constructor() {
    super()
    this.runs = []
    this.answer = null
    this.errors = []
    this.busy = false
    this.copied = ''
  }

  private get chosen(): string[] {
    return this.runs.map(({ id }) => id)
  }

  protected override willUpdate(_changed: PropertyValues<this>): void {
    if (this.askedFor === '' || this.askedFor === this.chosen.join()) return
    // Other runs are another test: what stands here would be taken for theirs.
    this.askedFor = ''
    this.answer = null
    this.errors = []
    this.busy = false
    this.copied = ''
  }

  /** The button is never disabled: the focus would go with it. */
  private async form(): Promise<void> {
    if (this.busy) return
    const asked = this.chosen
    this.askedFor = asked.join()
    this.busy = true
    this.errors = []
    this.answer = null
    const found = await askTest(asked)
    if (this.askedFor !== asked.join()) return
    this.busy = false
    this.answer = found.ok ? found.value : null
    this.errors = found.ok ? [] : found.errors
  }

  private async copy(answer: TestAnswer): Promise<void> {
    this.copied = (await copyText(copiedTest(answer, decimalMark()))) ? copied : copyFailed
  }

  override render() {
    const { runs, answer, errors, busy } = this
    return html`<h2>${testTexts.title}</h2>
      <p>${testTexts.runs(distinctNames(runs))} ${runs.some(({ invented }) => invented) ? html`<span class="plate">${everywhere.inventedData}</span>` : nothing}</p>
      <p class="soft small">${testTexts.meaning}</p>
      ${runs.length < 2 ? html`<p>${testTexts.tooFew}</p>` : html`<div class="row"><button class="main gloves" @click=${() => void this.form()}>${busy ? everywhere.stationComputes : testTexts.form}</button></div>`}
      ${errorLines(errors)}
      ${answer ? this.found(answer) : nothing}`
  }

  private found(answer: TestAnswer) {
    const names = runNames(answer)
    return html`<div class="scroll" tabindex="0" role="region" aria-label=${testTexts.table}><table role="table">
        <thead><tr><th scope="col">${testTexts.value}</th><th scope="col">${testTexts.mean}</th><th scope="col">${testTexts.spread}</th><th scope="col">${testTexts.validity}</th>${names.map((name) => html`<th scope="col">${name}</th>`)}</tr></thead>
        <tbody role="rowgroup">${answer.rows.map((row) => this.line(row, answer, names))}</tbody></table></div>
      ${answer.notes.length ? html`<ul class="soft small">${answer.notes.map((note) => html`<li>${note}</li>`)}</ul>` : nothing}
      <div class="row"><button @click=${() => void this.copy(answer)}>${everywhere.copyAsTable}</button><span role="status">${this.copied}</span></div>`
  }

  private line(row: TestRow, { channels, limits, results }: TestAnswer, names: readonly string[]) {
    const channel = channels.find(({ id }) => id === row.channel)
    const isReferred = row.quantity === 'at_reference_oxygen' || row.quantity === 'mass_concentration'
    const decimals = (isReferred ? channel?.referred?.decimals : channel?.decimals) ?? 1
    const text = (value: number) => numberText(value, decimals)
    const doubt = row.mean === null ? null : uncertainTexts(row.mean, row.uncertainty, decimals)[1]
    const invalid = row.runs.filter(({ valid }) => !valid).length
    const { spread } = row
    return html`<tr role="row"><th scope="row" role="rowheader">${channel?.name ?? row.channel} <span class="soft small">${valueQuantityNames[row.quantity]}</span></th>
      <td role="cell" data-label=${testTexts.mean}><span><span class="number"><span class=${row.valid ? 'mean' : 'invalid'}>${row.mean === null ? '–' : resultText(row.mean, decimals, results)}</span>${doubt === null ? nothing : html` <span class="soft">± ${doubt}</span>`}</span> <span class="small">${rowUnitText(row)}</span></span></td>
      <td role="cell" data-label=${testTexts.spread}><span>${spread === null ? testTexts.noMean : html`<span class="number">${everywhere.fromTo(text(spread.minimum), text(spread.maximum))}</span>${spread.standardDeviation === null ? nothing : html`<br><span class="soft small">${testTexts.deviation(numberText(spread.standardDeviation, decimals + 1))}</span>`}`}</span></td>
      <td role="cell" data-label=${testTexts.validity}><span><span class="state">${mark(row.valid ? 'good' : 'caution')} ${row.valid ? testTexts.everyRunValid : invalid ? testTexts.oneInvalid(invalid) : testTexts.noMean}</span>
        ${rowVerdicts(row, limits, decimals, results.uncertainty)}
        ${row.detection && detectionWords[row.detection] ? html`<div class="small soft">${detectionWords[row.detection]}</div>` : nothing}</span></td>
      ${row.runs.map(({ mean, valid, countedMs, reasons }, place) => html`<td role="cell" data-label=${names[place] ?? ''}><span><span class="number ${valid ? '' : 'invalid'}">${mean === null ? '–' : text(mean)}</span> ${valid ? nothing : html`<span class="small">${invalidWord}</span>`}<br><span class="soft small">${testTexts.counted(durationText(countedMs))}${reasons.length ? `: ${reasons.map((reason) => reasonWords[reason]).join('; ')}` : ''}</span></span></td>`)}</tr>`
  }
}
customElements.define('test-of-runs', TestOfRuns)
