import { css, html, LitElement, nothing } from 'lit'
import type { ExplainAnswer } from '../../../protocols/live/explain.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { wholeText } from '../../format/numbers.ts'
import { hourMinuteSecondText, type Zone } from '../../format/times.ts'
import { errorLine } from '../../parts/errors.ts'
import { shared } from '../../styles/shared.ts'
import * as explainedTexts from '../../texts/average-explained.ts'
import { noValue } from '../../texts/everywhere.ts'
import { phaseWords } from '../../texts/phases.ts'
import { askExplained } from './explained-answer.ts'

const pageLength = 100

/** The readings of an average with their raw lines, page by page. */
export class ExplainedReadings extends LitElement {
  static override properties = {
    row: { attribute: false },
    recording: { attribute: false },
    zone: { attribute: false },
    from: { state: true },
    answer: { state: true },
    error: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 10px; min-width: 0; }
    ol { display: grid; max-height: 50dvh; overflow: auto; }
    li { border-top: 1px solid var(--line); padding: 6px 0; }
    code { display: block; font-size: var(--size-small); overflow-wrap: anywhere; }
    .facts { display: flex; flex-wrap: wrap; gap: 2px 16px; }
  `,
  ]
  declare row: AverageRow
  declare recording: string | null
  declare zone: Zone
  declare from: number
  declare answer: ExplainAnswer | null
  declare error: string
  constructor() {
    super()
    this.from = 0
    this.answer = null
    this.error = ''
  }

  protected override firstUpdated(): void {
    void this.ask(0)
  }
  private async ask(from: number): Promise<void> {
    this.from = from
    const found = await askExplained(this.recording, this.row, from, pageLength)
    if (from !== this.from) return
    this.error = found.ok ? '' : found.errors.join(' ')
    if (found.ok) this.answer = found.value
  }

  override render() {
    const { answer, zone, from } = this
    if (this.error) return errorLine(this.error)
    if (!answer) return html`<p role="status">${explainedTexts.lookedUp}</p>`
    const last = from + answer.readings.length
    return html`<div class="row"><button ?disabled=${from === 0} @click=${() => this.ask(Math.max(0, from - pageLength))}>${explainedTexts.earlierLines}</button>
        <button ?disabled=${last >= answer.readingsInAll} @click=${() => this.ask(from + pageLength)}>${explainedTexts.laterLines}</button>
        <span role="status">${explainedTexts.place(wholeText(from + 1), wholeText(last), wholeText(answer.readingsInAll))}</span></div>
      <ol tabindex="0" aria-label=${explainedTexts.readings}>${answer.readings.map((reading) => {
        const seconds = reading.parts.reduce((sum, part) => sum + part.toMs - part.fromMs, 0) / 1000
        return html`<li><p class="facts"><strong>${explainedTexts.line(reading.sequence)}</strong><span>${hourMinuteSecondText(reading.atMs, zone)}</span><span>${phaseWords[reading.phase]}</span>
          ${Object.entries(reading.values).map(([id, value]) => html`<span>${id} ${value.asRead ?? noValue}${value.corrected !== null && value.corrected !== value.asRead ? html` → ${Number(value.corrected.toPrecision(10))}` : nothing}</span>`)}
          <span class="soft">${reading.counts ? explainedTexts.weighs(seconds) : explainedTexts.doesNotCount(reading.why ?? '')}</span></p><code>${reading.line}</code></li>`
      })}</ol>`
  }
}
customElements.define('explained-readings', ExplainedReadings)
