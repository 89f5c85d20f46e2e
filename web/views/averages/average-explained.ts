import { css, html, LitElement, nothing } from 'lit'
import type { CalculationStep, ExplainAnswer } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { averageText, durationText } from '../../format/durations.ts'
import { wholeText } from '../../format/numbers.ts'
import { dayText, dayTimeText, hourMinuteSecondText, spanText, timeText, type Zone } from '../../format/times.ts'
import { rowUnitText, unitName } from '../../format/units.ts'
import { errorLines } from '../../parts/errors.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import type { Session } from '../../session.ts'
import { shared } from '../../styles/shared.ts'
import * as explainedTexts from '../../texts/average-explained.ts'
import { invalid, valid } from '../../texts/averages.ts'
import { close, fromTo, showOnTrends } from '../../texts/everywhere.ts'
import { excludedWord, noLines, phaseWords } from '../../texts/phases.ts'
import { calculated } from './calculated.ts'
import { askExplained } from './explained-answer.ts'
import { blocksPart, crossPart, spansPart, uncertaintyPart, zerosPart } from './explained-corrections.ts'
import './explained-readings.ts'

/** Where an average comes from: its stretches, zeros, sums and conversions, down to the raw lines. A dialog of its own; opened with a row. */
export class AverageExplained extends LitElement {
  static override properties = { row: { state: true }, answer: { state: true }, errors: { state: true } }
  static override styles = [
    shared,
    css`
    dialog { width: min(980px, calc(100vw - 24px)); }
    .inside { display: grid; gap: var(--gap); }
    .result { font-size: var(--size-large); font-weight: 600; overflow-wrap: anywhere; }
    h3 { font-size: var(--size-text); font-weight: 600; margin: 0; }
    section { display: grid; gap: 8px; min-width: 0; }
    .stretches li { display: grid; grid-template-columns: 17rem 7rem minmax(0, 1fr); gap: 2px 14px; padding: 6px 0; border-top: 1px solid var(--line); }
    .state { display: inline-flex; gap: 6px; align-items: center; }
    .steps { display: grid; gap: 10px; }
    .steps > li { border-left: 6px solid var(--line); padding-left: 12px; overflow-wrap: anywhere; }
    .inputs { display: grid; grid-template-columns: auto minmax(0, 1fr); gap: 0 16px; }
    .inputs dt { color: var(--ink-soft); }
    .gives { font-weight: 600; }
    .excluded { border-left: 6px solid var(--caution-edge); padding-left: 12px; }
    summary { font-weight: 600; }
    summary::before { content: '▸'; padding-right: 8px; }
    details[open] > summary::before { content: '▾'; }
    th, td { text-align: left; padding: 3px 18px 3px 0; white-space: nowrap; }
    th { font-weight: 500; color: var(--ink-soft); font-size: var(--size-small); }
    .number { text-align: right; }
    @media (max-width: 820px) { .stretches li { grid-template-columns: minmax(0, 1fr); } }
  `,
  ]
  declare row: AverageRow | null
  declare answer: ExplainAnswer | null
  declare errors: readonly string[]
  private session: Session | null = null
  constructor() {
    super()
    this.row = null
    this.answer = null
    this.errors = []
  }

  close(): void {
    this.dialog?.close()
  }

  async open(row: AverageRow, session: Session): Promise<void> {
    this.session = session
    this.row = row
    this.answer = null
    this.errors = []
    await this.updateComplete
    this.dialog?.showModal()
    const found = await askExplained(session.route.replay, row, 0, 0)
    if (this.row !== row) return
    if (found.ok) this.answer = found.value
    else this.errors = found.errors
  }
  private get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog')
  }
  private show(row: AverageRow): void {
    this.dialog?.close()
    tell(this, 'show-stretch', { fromMs: row.startMs, toMs: row.endMs })
  }

  override render() {
    const { row } = this
    const station = this.session?.state.station
    return html`<dialog aria-labelledby="title">${row && station ? this.inside(row, station.clock) : nothing}</dialog>`
  }

  private inside(row: AverageRow, zone: Zone) {
    const { answer } = this
    const name = this.session?.state.station?.channels.find(({ id }) => id === row.channel)?.name ?? row.channel
    return html`<div class="inside"><h2 id="title">${explainedTexts.title}</h2>
      <p>${name}, ${valueQuantityNames[row.quantity]}, ${averageText(row.average)}: ${dayText(row.startMs, zone)} ${spanText(row.startMs, row.endMs, zone)}</p>
      ${errorLines(this.errors)}
      ${answer ? this.told(answer, zone) : this.errors.length ? nothing : html`<p role="status">${explainedTexts.goingThrough}</p>`}
      <div class="buttons"><button class="gloves" @click=${() => this.show(row)}>${showOnTrends}</button><button class="main gloves" autofocus @click=${this.close}>${close}</button></div></div>`
  }

  private told(answer: ExplainAnswer, zone: Zone) {
    const { row, validity } = answer
    return html`<p class="result" role="status">${calculated(row.mean)} ${rowUnitText(row)}</p>
      <p class="state">${mark(answer.agrees ? 'good' : 'alarm')} <span>${answer.stored === null ? explainedTexts.formedNow : answer.agrees ? explainedTexts.asStored : explainedTexts.differs(answer.difference ?? '')} <span class="soft small">${explainedTexts.byVersion(answer.engine)}</span></span></p>
      <p class="state">${mark(validity.valid ? 'good' : 'caution')} ${explainedTexts.validity(validity.valid ? valid : invalid, validity.rule)}</p>
      ${answer.exclusions.map((told) => html`<p class="excluded"><strong>${excludedWord}</strong> ${fromTo(dayTimeText(told.fromMs, zone), timeText(told.toMs, zone))}${told.channel ? `, ${told.channel}` : ''}: ${told.reason} <span class="soft small">${told.by}, ${dayTimeText(told.toldMs, zone)}</span></p>`)}
      ${answer.history.map((was) => html`<p class="soft">${explainedTexts.wasUntil(dayTimeText(was.replacedMs, zone), calculated(was.mean), was.valid ? valid : invalid, was.reason)} <span class="small">${was.by ?? ''}</span></p>`)}
      ${this.stretches(answer, zone)}${blocksPart(answer, zone)}${zerosPart(answer, zone)}${spansPart(answer, zone)}${crossPart(answer)}
      <section><h3>${explainedTexts.stepByStep}</h3><p class="soft small">${explainedTexts.correctedFirst(answer.correction.formula, answer.together)}</p>
        <ol class="steps">${answer.steps.map((step) => this.step(step))}</ol></section>
      ${uncertaintyPart(answer)}${this.minutes(answer, zone)}
      <details @toggle=${() => this.requestUpdate()}><summary>${explainedTexts.rawLines(wholeText(answer.readingsInAll))}</summary>
        ${this.isReadingsOpen() && this.session ? html`<explained-readings .row=${row} .recording=${this.session.route.replay} .zone=${zone}></explained-readings>` : nothing}</details>
      <p class="soft small">${explainedTexts.newestSeal(answer.recording.run, html`<span class="result small">${answer.recording.head ?? explainedTexts.none}</span>`)}</p>`
  }
  private isReadingsOpen(): boolean {
    return this.renderRoot.querySelector<HTMLDetailsElement>('details:last-of-type')?.open ?? false
  }

  private stretches({ stretches }: ExplainAnswer, zone: Zone) {
    return html`<section><h3>${explainedTexts.stretches}</h3><ul class="stretches">${stretches.map((stretch) => {
      const word = stretch.what in phaseWords ? phaseWords[stretch.what as keyof typeof phaseWords] : noLines
      return html`<li><span>${hourMinuteSecondText(stretch.fromMs, zone)}–${hourMinuteSecondText(stretch.toMs, zone)} <span class="soft small">${durationText(stretch.toMs - stretch.fromMs)}</span></span><span>${word}</span>
        <span class="state">${mark(stretch.counts ? 'good' : 'off')} ${explainedTexts.withReadings(stretch.counts ? explainedTexts.counts : explainedTexts.doesNotCount(stretch.reason ?? ''), wholeText(stretch.readings))}</span></li>`
    })}</ul></section>`
  }

  private step({ step, formula, inputs, result, unit, source }: CalculationStep) {
    const word = unit === '1' ? '' : unitName(unit)
    return html`<li><p><strong>${step}</strong>: ${formula}</p>
      <dl class="inputs">${inputs.map((input) => html`<dt>${input.name}</dt><dd>${calculated(input.value)} ${input.unit === '1' ? '' : unitName(input.unit)}</dd>`)}</dl>
      <p class="gives">= ${calculated(result)} ${word}</p>${source ? html`<p class="soft small">${explainedTexts.source(source)}</p>` : nothing}</li>`
  }

  private minutes({ minutes, lanes, sums }: ExplainAnswer, zone: Zone) {
    if (minutes.length === 0) return nothing
    return html`<details><summary>${explainedTexts.sumsOf(wholeText(minutes.length))}</summary><div class="scroll" tabindex="0" role="region" aria-label=${explainedTexts.sums}><table>
      <thead><tr><th scope="col">${explainedTexts.minute}</th><th scope="col" class="number">${explainedTexts.countedSeconds}</th>${lanes.map(({ channel, from }) => html`<th scope="col" class="number">${explainedTexts.sumOf(channel, explainedTexts.laneWords[from])}</th>`)}<th scope="col">${explainedTexts.lines}</th></tr></thead>
      <tbody>${minutes.map((minute) => html`<tr><th scope="row">${hourMinuteSecondText(minute.startMs, zone)}</th><td class="number">${minute.countedMs / 1000}</td>${minute.integrals.map((sum) => html`<td class="number">${calculated(sum / 1000)}</td>`)}<td>${fromTo(String(minute.firstSequence), String(minute.lastSequence))}</td></tr>`)}
        <tr><th scope="row">${explainedTexts.sum}</th><td class="number">${sums.countedMs / 1000}</td>${sums.integrals.map((sum) => html`<td class="number">${calculated(sum / 1000)}</td>`)}<td></td></tr></tbody></table></div></details>`
  }
}
customElements.define('average-explained', AverageExplained)
