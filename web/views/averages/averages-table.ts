import { css, html, LitElement, nothing } from 'lit'
import type { ChannelInfo, LimitInfo, StatedResults } from '../../../protocols/live/messages.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { durationText } from '../../format/durations.ts'
import { limitText, numberText, percentText, uncertainTexts } from '../../format/numbers.ts'
import { resultText } from '../../format/rounding.ts'
import { dayText, labelText, type Zone } from '../../format/times.ts'
import { rowUnitText } from '../../format/units.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import { shared } from '../../styles/shared.ts'
import * as averageTexts from '../../texts/averages.ts'
import { viewWords } from '../../texts/frame.ts'
import { plantNotRunning } from '../../texts/phases.ts'
import type { OrderBy, RowOrder } from './row-order.ts'
import { rowVerdicts } from './row-verdict.ts'
import '../../parts/coverage-bar.ts'

/** Averages as a table, newest first; the time stands once for the rows that share it. */
export class AveragesTable extends LitElement {
  static override properties = {
    rows: { attribute: false },
    channels: { attribute: false },
    limits: { attribute: false },
    results: { attribute: false },
    zone: { attribute: false },
    order: { attribute: false },
  }
  static override styles = [
    shared,
    css`
    :host { display: block; min-width: 0; }
    table { width: 100%; }
    th { text-align: left; font-weight: 500; color: var(--ink-soft); font-size: var(--size-small); padding: 6px 14px 6px 0; border-bottom: 1px solid var(--edge); vertical-align: middle; white-space: nowrap; }
    td { padding: 4px 14px 4px 0; vertical-align: middle; }
    .day { display: block; font-weight: 400; }
    .unit, .channel { white-space: nowrap; }
    @media (max-width: 1260px) {
      .counted-time { display: none; }
      .doubt { display: block; }
      td, th { padding-right: 10px; }
      tbody th, .unit { white-space: normal; }
      tbody th { min-width: 7.4em; }
      .unit { min-width: 6.5em; }
      .validity { min-width: 15em; }
      .coverage coverage-bar { width: 48px; }
    }
    .first td, .first th { border-top: 1px solid var(--line); }
    tbody th { font-weight: 600; color: var(--ink); font-size: var(--size-text); border-bottom: 0; }
    th button { border: 0; background: none; padding: 0 4px; margin: 0 -4px; font: inherit; color: inherit; justify-content: inherit; white-space: nowrap; }
    th.number button { width: 100%; justify-content: end; }
    td.channel button { border: 0; background: none; padding: 0; margin: -4px 0; font-weight: 500; justify-content: start; text-decoration: underline; text-underline-offset: 3px; }
    tbody tr { cursor: pointer; }
    tbody tr:hover td { background: var(--panel); }
    .undecided { border: 1.5px solid var(--ink-faint); padding: 0 6px; }
    .number { text-align: right; white-space: nowrap; }
    .mean { font-weight: 600; font-size: 1.1rem; border-color: transparent; background: none; padding: 0 6px; margin: -12px -6px; text-decoration: underline dotted; text-underline-offset: 4px; }
    .invalid .mean { font-weight: 400; color: var(--ink-faint); text-decoration: line-through; }
    .coverage { white-space: nowrap; }
    .coverage coverage-bar { width: 84px; display: inline-block; vertical-align: -4px; margin-right: 6px; }
    .state { display: inline-flex; gap: 6px; align-items: center; white-space: nowrap; }
    @media (max-width: 820px) {
      table, tbody { display: block; }
      thead { display: none; }
      .first td, .first th { border-top: 0; }
      tr.first { border-top: 1px solid var(--line); }
      tr { display: grid; grid-template-columns: 5.5rem 1fr 1fr; gap: 0 12px; padding: 6px 0; align-items: baseline; }
      tbody th { grid-column: 1 / -1; }
      td { padding: 2px 0; }
      td.channel { font-weight: 600; }
      .unit, .coverage, .validity { grid-column: 2 / -1; }
      .number { text-align: left; }
      .unit, .coverage, .channel { white-space: normal; }
      .counted-time, .doubt { display: inline; }
      .day { display: inline; }
      td[data-label]::before { content: attr(data-label) ' '; color: var(--ink-soft); font-size: var(--size-small); }
    }
    .beyond { background: var(--alarm); color: var(--on-alarm); padding: 0 6px; box-decoration-break: clone; -webkit-box-decoration-break: clone; }
  `,
  ]
  declare rows: readonly AverageRow[]
  declare channels: readonly ChannelInfo[]
  declare limits: readonly LimitInfo[]
  declare results: StatedResults
  declare zone: Zone
  declare order: RowOrder
  /** The row in which the focus is, and whether on its mean. */
  private focused: readonly [id: string | undefined, isMean: boolean] = [undefined, false]

  /** A new average moves the others one row on, and what stood below the finger is another's: the focus goes with its row. */
  protected override willUpdate(): void {
    const button = this.shadowRoot?.activeElement
    this.focused = [button?.closest('tr')?.id, button?.className === 'mean']
  }
  protected override updated(): void {
    const [id, isMean] = this.focused
    if (!id || this.shadowRoot?.activeElement?.closest('tr')?.id === id) return
    this.shadowRoot
      ?.getElementById(id)
      ?.querySelector<HTMLElement>(isMean ? '.mean' : 'button')
      ?.focus({ preventScroll: true })
  }

  private heading(by: OrderBy, isNumber = false) {
    const isBy = this.order.by === by
    return html`<th scope="col" class=${isNumber ? 'number' : ''} aria-sort=${isBy ? (this.order.down ? 'descending' : 'ascending') : 'none'}><button @click=${() => tell(this, 'order-rows', by)}>${averageTexts.orderWords[by]}<span aria-hidden="true">${isBy ? (this.order.down ? ' ▼' : ' ▲') : ''}</span></button></th>`
  }

  override render() {
    let before = Number.NaN
    return html`<div class="scroll" tabindex="0" role="region" aria-label=${viewWords.averages}><table role="table">
      <thead><tr>${this.heading('time')}${this.heading('channel')}${this.heading('mean', true)}<th scope="col">${averageTexts.unit}</th>${this.heading('minimum', true)}${this.heading('maximum', true)}${this.heading('deviation', true)}${this.heading('coverage')}${this.heading('validity')}</tr></thead>
      <tbody role="rowgroup">${this.rows.map((row) => {
        const isFirst = row.startMs !== before || this.order.by !== 'time'
        before = row.startMs
        return this.row(row, isFirst)
      })}</tbody></table></div>`
  }

  /** A click anywhere in the row opens it, but for one that ends a selection of text. */
  private opened(row: AverageRow): void {
    if (!getSelection()?.toString()) tell(this, 'open-row', row)
  }

  private row(row: AverageRow, isFirst: boolean) {
    const channel = this.channels.find((found) => found.id === row.channel)
    const isReferred = row.quantity === 'at_reference_oxygen' || row.quantity === 'mass_concentration'
    const decimals = (isReferred ? channel?.referred?.decimals : channel?.decimals) ?? 1
    const text = (value: number | null, more = 0) => (value === null ? '–' : numberText(value, decimals + more))
    const shownMean = row.mean === null ? '–' : resultText(row.mean, decimals, this.results)
    const doubt = row.mean === null ? null : uncertainTexts(row.mean, row.uncertainty, decimals)[1]
    const limit = this.limits.find(
      (found) =>
        found.channel === row.channel &&
        found.quantity === row.quantity &&
        found.average === row.average &&
        found.unit === row.unit,
    )
    const isBeyond =
      row.verdicts.length === 0 &&
      row.valid &&
      row.state !== 'open' &&
      row.mean !== null &&
      limit !== undefined &&
      (limit.kind === 'high' ? row.mean > limit.value : row.mean < limit.value)
    const isInvalid = !row.valid && row.state !== 'open'
    const name = channel?.name ?? row.channel
    const reasons = row.reasons.map((reason) => averageTexts.reasonWords[reason]).join('; ')
    const time = labelText(row.startMs, row.endMs, this.zone, this.results.label)
    return html`<tr id=${`${row.startMs} ${row.endMs} ${row.channel} ${row.quantity} ${row.unit}`} role="row" class="${isFirst ? 'first' : ''} ${isInvalid ? 'invalid' : ''}" @click=${() => this.opened(row)}>
      <th scope="row" role="rowheader">${isFirst ? html`${time} <span class="soft small day">${dayText(row.startMs, this.zone)}</span>` : html`<span class="unseen">${time}</span>`}</th>
      <td role="cell" class="channel"><button aria-label=${averageTexts.detailsOf(name, time)} @click=${(
        event: Event,
      ) => {
        event.stopPropagation()
        tell(this, 'open-row', row)
      }}>${name}</button></td>
      <td role="cell" class="number"><button class="mean" title=${averageTexts.whereFrom} @click=${(event: Event) => {
        event.stopPropagation()
        tell(this, 'explain-average', row)
      }} aria-label=${averageTexts.whereItComesFrom(name, shownMean)}>${shownMean}</button>${doubt === null ? nothing : html` <span class="soft small doubt">± ${doubt}</span>`}</td>
      <td role="cell" class="unit">${rowUnitText(row)}${row.quantity === 'at_reference_oxygen' ? nothing : html` <span class="soft small">${valueQuantityNames[row.quantity]}</span>`}</td>
      <td role="cell" class="number" data-label=${averageTexts.lowest}>${text(row.minimum)}</td><td role="cell" class="number" data-label=${averageTexts.highest}>${text(row.maximum)}</td><td role="cell" class="number" data-label=${averageTexts.deviation}>${text(row.standardDeviation, 1)}</td>
      <td role="cell" class="coverage"><coverage-bar .counted=${row.coverage ?? 0} label=${row.coverage === null ? plantNotRunning : averageTexts.shareCounted(percentText(row.coverage))}></coverage-bar>
        <span class="small soft">${row.coverage === null ? plantNotRunning : html`${percentText(row.coverage)}<span class="counted-time"> · ${durationText(row.countedMs)}</span>`}</span></td>
      <td role="cell" class="validity"><span class="state">${mark(row.state === 'open' ? 'off' : row.valid ? 'good' : 'caution')} ${row.state === 'open' ? averageTexts.running : row.valid ? averageTexts.valid : averageTexts.invalid}${row.state === 'provisional' ? html` <span class="soft small">${averageTexts.blockStateWords.provisional}</span>` : nothing}</span>
        ${rowVerdicts(row, this.limits, decimals, this.results.uncertainty)}
        ${isBeyond ? html`<span class="beyond">${(limit.kind === 'high' ? averageTexts.aboveLimit : averageTexts.belowLimit)(limitText(limit.value, decimals))}</span>` : nothing}
        ${row.detection && averageTexts.detectionWords[row.detection] ? html`<div class="small soft">${averageTexts.detectionWords[row.detection]}</div>` : nothing}
        ${row.reasons.length ? html`<br><span class="small soft">${row.state === 'open' ? averageTexts.soFar(reasons) : reasons}</span>` : nothing}</td></tr>`
  }
}
customElements.define('averages-table', AveragesTable)
