import { css, html, LitElement, nothing } from 'lit'
import { type AverageRow, invalidatingReasons } from '../../../protocols/words/blocks.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { averageText, durationText } from '../../format/durations.ts'
import { numberText, percentText, uncertainTexts } from '../../format/numbers.ts'
import { resultText } from '../../format/rounding.ts'
import { dayText, spanText } from '../../format/times.ts'
import { rowUnitText, unitName } from '../../format/units.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import * as averageTexts from '../../texts/averages.ts'
import { close, showOnTrends } from '../../texts/everywhere.ts'
import { plantNotRunning } from '../../texts/phases.ts'
import { rowVerdicts } from './row-verdict.ts'

/** One average in words: what it is, how much of its time counted, why it is invalid, and the way to its stretch on the chart. */
export class AverageDetails extends LitElement {
  static override properties = { row: { attribute: false }, station: { attribute: false } }
  static override styles = [
    shared,
    css`
    dialog { width: min(720px, calc(100vw - 24px)); }
    .inside { display: grid; gap: var(--gap); }
    .mean { font-size: var(--size-figure); font-weight: 600; line-height: 1.15; }
    dl { display: grid; grid-template-columns: auto minmax(0, 1fr); gap: 4px 20px; }
    dt { color: var(--ink-soft); }
    .reasons li { padding: 8px 0 8px 12px; border-left: 6px solid var(--line); margin-bottom: 6px; }
    .reasons li.why { border-color: var(--caution-edge); }
    .beyond { background: var(--alarm); color: var(--on-alarm); padding: 0 6px; }
  `,
  ]
  declare row: AverageRow | null
  declare station: Station | null
  constructor() {
    super()
    this.row = null
    this.station = null
  }

  async open(row: AverageRow, station: Station): Promise<void> {
    this.row = row
    this.station = station
    await this.updateComplete
    this.dialog?.showModal()
  }
  private get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog')
  }
  private explain(row: AverageRow): void {
    this.dialog?.close()
    tell(this, 'explain-average', row)
  }
  private show(row: AverageRow): void {
    this.dialog?.close()
    tell(this, 'show-stretch', { fromMs: row.startMs, toMs: row.endMs })
  }

  override render() {
    const { row, station } = this
    return html`<dialog aria-labelledby="title">${row && station ? this.inside(row, station) : nothing}</dialog>`
  }

  private inside(row: AverageRow, station: Station) {
    const zone = station.clock
    const channel = station.channels.find((found) => found.id === row.channel)
    const isReferred = row.quantity === 'at_reference_oxygen' || row.quantity === 'mass_concentration'
    const decimals = (isReferred ? channel?.referred?.decimals : channel?.decimals) ?? 1
    const figure = (value: number | null, more = 0) => (value === null ? '–' : numberText(value, decimals + more))
    const { uncertainty, detection } = row
    const doubt = row.mean === null ? null : uncertainTexts(row.mean, uncertainty, decimals)[1]
    const state = row.state === 'open' ? averageTexts.running : row.valid ? averageTexts.valid : averageTexts.invalid
    return html`<div class="inside"><h2 id="title">${channel?.name ?? row.channel}, ${averageText(row.average)}: ${dayText(row.startMs, zone)} ${spanText(row.startMs, row.endMs, zone)}</h2>
      <p class="mean">${row.mean === null ? '–' : resultText(row.mean, decimals, station.results)}${doubt === null ? nothing : html` ± ${doubt}`} <span class="small">${rowUnitText(row)}</span></p>
      <p>${mark(row.state === 'open' ? 'off' : row.valid ? 'good' : 'caution')} <strong>${state}</strong>${row.state === 'open' ? '' : `, ${averageTexts.blockStateWords[row.state]}`}</p>
      ${rowVerdicts(row, station.limits, decimals, station.results.uncertainty)}
      ${row.reasons.length ? this.reasons(row) : html`<p class="soft">${row.state === 'open' ? averageTexts.nothingAgainstSoFar : averageTexts.nothingAgainst}</p>`}
      <dl><dt>${averageTexts.ofValue}</dt><dd>${valueQuantityNames[row.quantity]}</dd>
        <dt>${averageTexts.ofCounted}</dt><dd>${averageTexts.counted(row.coverage === null ? plantNotRunning : percentText(row.coverage), durationText(row.countedMs), row.count, station.averages.validity)}</dd>
        ${row.minimum === null ? nothing : html`<dt>${averageTexts.ofRange}</dt><dd>${averageTexts.range(figure(row.minimum), figure(row.maximum), figure(row.standardDeviation, 1))}</dd>`}
        ${row.conditions ? html`<dt>${averageTexts.ofConditions}</dt><dd>${row.conditions.replace(/,|(?=kPa|K)/g, '$& ')}</dd>` : nothing}
        ${doubt === null ? nothing : html`<dt>${averageTexts.ofUncertainty}</dt><dd>${averageTexts.expanded(`${doubt} ${unitName(row.unit)}`)}</dd>`}
        ${detection === null || !averageTexts.detectionWords[detection] ? nothing : html`<dt>${averageTexts.ofDetection}</dt><dd>${averageTexts.detectionWords[detection]}</dd>`}</dl>
      <div class="buttons"><button class="gloves" @click=${() => this.explain(row)}>${averageTexts.whereFrom}</button><button class="gloves" @click=${() => this.show(row)}>${showOnTrends}</button><button class="main gloves" autofocus @click=${() => this.dialog?.close()}>${close}</button></div></div>`
  }

  private reasons(row: AverageRow) {
    return html`<ul class="reasons" aria-label=${averageTexts.reasons}>${[...row.reasons]
      .sort((one, other) => Number(invalidatingReasons.has(other)) - Number(invalidatingReasons.has(one)))
      .map((reason) => {
        const isWhy = invalidatingReasons.has(reason)
        return html`<li class=${isWhy ? 'why' : ''}><strong>${isWhy ? (row.state === 'open' ? averageTexts.invalidSoFar : averageTexts.invalidBecause) : averageTexts.remark}</strong>${averageTexts.reasonWords[reason]}. <span class="soft">${averageTexts.reasonHints[reason] ?? ''}</span></li>`
      })}</ul>`
  }
}
customElements.define('average-details', AverageDetails)
