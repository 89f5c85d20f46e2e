import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { errorLine } from '../../parts/errors.ts'
import { shared } from '../../styles/shared.ts'
import { askingStation, cautions } from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { title as settingsTitle } from '../../texts/settings.ts'
import { columnsStep } from './columns-step.ts'
import { linesStep } from './lines-step.ts'
import { askStation, type SetUpAsks } from './questions.ts'
import { setUpStyles } from './set-up-styles.ts'
import { settingsStep } from './settings/settings-step.ts'
import { sourceStep } from './source-step.ts'
import { stationStep } from './station-step.ts'
import { streamStep } from './stream-step.ts'
import { SetUpWork } from './work.ts'
import { writeStep } from './write-step.ts'

/** Setting an instrument up: from its lines to the station file, on one page, in the order of the work. */
export class SetUpView extends LitElement {
  static override properties = { asks: { attribute: false } }
  static override styles = [shared, setUpStyles]
  declare asks: SetUpAsks
  protected work: SetUpWork | null = null

  constructor() {
    super()
    this.asks = askStation
  }

  override connectedCallback(): void {
    super.connectedCallback()
    this.work = new SetUpWork(() => this.requestUpdate(), this.asks)
    void this.work.open()
  }
  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.work?.close()
    this.work = null
  }

  override updated(): void {
    this.work?.form?.giveFocus((id) => this.renderRoot.querySelector(`[id="${CSS.escape(id)}"]`))
  }

  override render() {
    const { work } = this
    if (!work) return nothing
    if (work.error) return errorLine(work.error)
    const { state } = work
    if (!state) return html`<p class="soft">${askingStation}</p>`
    if (!state.available)
      return html`<h1 class="unseen">${viewWords['set-up']}</h1><p>${state.why[0]?.toUpperCase()}${state.why.slice(1)}.</p>`
    const steps: readonly (readonly [string, TemplateResult | typeof nothing])[] = [
      [setUpTexts.sourceTitle, sourceStep(work)],
      [setUpTexts.linesTitle, linesStep(work)],
      [setUpTexts.columnsTitle, columnsStep(work)],
      [setUpTexts.stationTitle, stationStep(work)],
      [settingsTitle, settingsStep(work.form)],
      [setUpTexts.writeTitle, writeStep(work)],
    ]
    return html`<h1 class="unseen">${viewWords['set-up']}</h1>
      <p class="small caution">${cautions}</p>
      ${state.pending ? html`<p role="status">${setUpTexts.filePending}</p>` : nothing}
      ${streamStep(work)}
      ${steps.map(([title, content], at) => html`<section aria-label=${title}><h2><span class="number">${at + 1}</span>${title}</h2>${content}</section>`)}`
  }
}
customElements.define('set-up-view', SetUpView)
