import { css, html, LitElement, nothing } from 'lit'
import type { ComparableSettings, CompareAnswer, ComparedRow, SettingsAnswer } from '../../../protocols/live/compare.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { averageText } from '../../format/durations.ts'
import { numberText, wholeText } from '../../format/numbers.ts'
import { dayText, spanText, type Zone } from '../../format/times.ts'
import { unitName } from '../../format/units.ts'
import { errorLines } from '../../parts/errors.ts'
import { shared } from '../../styles/shared.ts'
import { invalid, reasonWords, valid } from '../../texts/averages.ts'
import { askingStation, channel, stationComputes } from '../../texts/everywhere.ts'
import * as comparisonTexts from '../../texts/settings-comparison.ts'
import { askCompared, askSettings } from './compared-answer.ts'
import { changeText, offeredBlocks, offeredShares, triedSettings } from './tried-settings.ts'

const pageLength = 100

/** Other settings tried on a recording: what each average would be. Nothing is stored, and it says so. */
export class SettingsComparison extends LitElement {
  static override properties = {
    recording: { type: String },
    zone: { attribute: false },
    settings: { state: true },
    answer: { state: true },
    errors: { state: true },
    busy: { state: true },
    most: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap); min-width: 0; border-left: 6px solid var(--caution-edge); padding-left: 16px; }
    form, section { display: grid; grid-template-columns: minmax(0, 1fr); gap: var(--gap); }
    .fields { display: flex; flex-wrap: wrap; gap: 12px 24px; align-items: end; }
    fieldset { border: 1px solid var(--line); border-radius: 4px; display: flex; flex-wrap: wrap; gap: 4px 16px; min-width: 0; margin: 0; }
    legend { font-size: var(--size-small); color: var(--ink-soft); }
    fieldset label { display: inline-flex; gap: 8px; align-items: center; min-height: var(--target); }
    fieldset input[type='checkbox'] { min-height: 24px; width: 24px; }
    input[inputmode] { width: 8rem; }
    .plate { background: var(--caution); color: var(--on-caution); padding: 0 8px; font-weight: 600; justify-self: start; }
    table { width: 100%; }
    th, td { text-align: left; padding: 5px 14px 5px 0; border-top: 1px solid var(--line); vertical-align: top; }
    thead th { border: 0; font-weight: 500; color: var(--ink-soft); font-size: var(--size-small); }
    .number { text-align: right; white-space: nowrap; }
    tbody th { font-weight: 500; white-space: nowrap; }
  `,
  ]
  declare recording: string
  declare zone: Zone
  declare settings: ComparableSettings | null
  private names: SettingsAnswer['names'] = {}
  declare answer: CompareAnswer | null
  declare errors: readonly string[]
  declare busy: boolean
  declare most: number
  constructor() {
    super()
    this.settings = null
    this.answer = null
    this.errors = []
    this.busy = false
    this.most = pageLength
  }

  protected override firstUpdated(): void {
    void this.begin()
  }
  private async begin(): Promise<void> {
    const found = await askSettings(this.recording)
    if (found.ok) ({ settings: this.settings, names: this.names } = found.value)
    else this.errors = found.errors
    await this.updateComplete
    this.renderRoot.querySelector<HTMLElement>('input')?.focus()
  }

  private async run(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const { settings } = this
    if (!settings || this.busy) return
    const tried = triedSettings(new FormData(event.target as HTMLFormElement), settings)
    if (!tried.ok) {
      this.errors = tried.errors
      return
    }
    this.errors = []
    this.busy = true
    const found = await askCompared(this.recording, { set: tried.set, onlyDifferent: true, most: 2000 })
    this.busy = false
    this.most = pageLength
    this.answer = found.ok ? found.value : null
    this.errors = found.ok ? [] : found.errors
  }

  override render() {
    const { settings } = this
    return html`<h3>${comparisonTexts.title}</h3><p><span class="plate">${comparisonTexts.notStored}</span> ${comparisonTexts.about}</p>
      ${settings ? this.form(settings) : this.errors.length ? nothing : html`<p role="status">${askingStation}</p>`}
      ${errorLines(this.errors)}
      ${this.answer ? this.found(this.answer) : nothing}`
  }

  private form(settings: ComparableSettings) {
    const { conversions, averaging, phases, limits } = settings
    const isFraction = averaging.validity.rule === 'fraction'
    const by = phases.settle.seconds === undefined ? 'timesT95' : 'seconds'
    return html`<form @submit=${(event: SubmitEvent) => this.run(event)} novalidate>
      <div class="fields"><label>${comparisonTexts.referenceOxygen}<input name="reference-oxygen" inputmode="decimal" value=${conversions.referenceOxygen ?? ''} /></label>
        <label>${comparisonTexts.settling}<input name="settle" inputmode="decimal" value=${phases.settle[by] ?? 2} /></label>
        <label>${comparisonTexts.settlingIn}<select name="settle-by"><option value="timesT95" ?selected=${by === 'timesT95'}>${comparisonTexts.responseTimes}</option><option value="seconds" ?selected=${by === 'seconds'}>${comparisonTexts.seconds}</option></select></label>
        <label>${comparisonTexts.validFrom}<select name="validity">${isFraction ? nothing : html`<option value="">${comparisonTexts.ownRule}</option>`}${[...new Set([...offeredShares, ...(averaging.validity.minimum ? [averaging.validity.minimum] : [])])].map((share) => html`<option value=${share} ?selected=${isFraction && share === averaging.validity.minimum}>${share}</option>`)}</select></label></div>
      <fieldset><legend>${comparisonTexts.averagesOver}</legend>${offeredBlocks.map((length) => html`<label><input type="checkbox" name=${`block-${length}`} ?checked=${averaging.blocks.includes(length)} /> ${averageText(length)}</label>`)}</fieldset>
      ${limits.length ? html`<fieldset><legend>${comparisonTexts.limits}</legend>${limits.map((limit, place) => html`<label>${this.names[limit.channel]}, ${limit.average === undefined ? comparisonTexts.eachReading : averageText(limit.average)}, ${unitName(limit.unit)} <input name=${`limit-${place}`} inputmode="decimal" value=${limit.value} /></label>`)}</fieldset>` : nothing}
      <div class="row"><button type="submit" class="main gloves">${this.busy ? stationComputes : comparisonTexts.show}</button><span class="soft small">${comparisonTexts.fieldsHold}</span></div></form>`
  }

  private found(answer: CompareAnswer) {
    const { counts, rows } = answer
    const shown = rows.slice(0, this.most)
    return html`<section aria-label=${comparisonTexts.given}><p role="status"><span class="plate">${comparisonTexts.notStored}</span> ${comparisonTexts.compared(wholeText(counts.compared), wholeText(counts.different), wholeText(counts.becameInvalid), wholeText(counts.becameValid))}${counts.onlyPresent + counts.onlyTried ? comparisonTexts.onlyOnOneSide(wholeText(counts.onlyTried), wholeText(counts.onlyPresent)) : ''}.</p>
      <ul class="soft small">${answer.changes.map(({ path, from, to }) => html`<li>${changeText(path, from, to)} <code>${path}</code></li>`)}${answer.notes.map((note) => html`<li>${note}</li>`)}</ul>
      ${
        shown.length
          ? html`<div class="scroll" tabindex="0" role="region" aria-label=${comparisonTexts.differences}><table><thead><tr><th scope="col">${comparisonTexts.time}</th><th scope="col">${channel}</th><th scope="col">${comparisonTexts.average}</th><th scope="col" class="number">${comparisonTexts.asRecorded}</th><th scope="col" class="number">${comparisonTexts.tried}</th><th scope="col" class="number">${comparisonTexts.difference}</th><th scope="col">${comparisonTexts.validity}</th></tr></thead>
        <tbody>${shown.map((row) => this.line(row))}</tbody></table></div>`
          : html`<p>${comparisonTexts.noneDiffers}</p>`
      }
      ${
        rows.length > this.most
          ? html`<button @click=${() => {
              this.most += pageLength * 4
            }}>${comparisonTexts.moreFurther(wholeText(rows.length - this.most))}</button>`
          : nothing
      }
      ${answer.rowsInAll > rows.length ? html`<p class="soft small">${comparisonTexts.firstOfAll(wholeText(answer.rowsInAll), wholeText(rows.length))}</p>` : nothing}</section>`
  }

  private line(row: ComparedRow) {
    const text = (value: number | null | undefined) =>
      value === null || value === undefined ? '–' : numberText(value, 2)
    const word = (side: ComparedRow['tried']) =>
      side === null ? comparisonTexts.notFormed : side.valid ? valid : invalid
    const reasons = (row.tried?.reasons ?? []).filter((reason) => !row.present?.reasons.includes(reason))
    return html`<tr><th scope="row">${spanText(row.startMs, row.endMs, this.zone)} <span class="soft small">${dayText(row.startMs, this.zone)}</span></th><td>${this.names[row.channel]}, ${unitName(row.unit)} <span class="soft small">${valueQuantityNames[row.quantity]}</span></td><td>${averageText(row.average)}</td>
      <td class="number">${text(row.present?.mean)}</td><td class="number">${text(row.tried?.mean)}</td><td class="number">${row.difference === null ? '–' : `${row.difference > 0 ? '+' : ''}${text(row.difference)}`}</td>
      <td>${word(row.present)}${word(row.tried) === word(row.present) ? nothing : html` → <strong>${word(row.tried)}</strong>`}${reasons.length ? html`<br><span class="soft small">${reasons.map((reason) => reasonWords[reason]).join('; ')}</span>` : nothing}</td></tr>`
  }
}
customElements.define('settings-comparison', SettingsComparison)
