import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { shared } from '../../styles/shared.ts'
import { settingTexts } from '../../texts/settings.ts'
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
    if (work.error) return html`<p class="errors" role="alert">${work.error}</p>`
    const { state } = work
    if (!state) return html`<p class="soft">Asking the station …</p>`
    if (!state.available)
      return html`<h1 class="unseen">Set-up</h1><p>${state.why[0]?.toUpperCase()}${state.why.slice(1)}.</p>`
    const steps: readonly (readonly [string, TemplateResult | typeof nothing])[] = [
      ['Where do the lines come from?', sourceStep(work)],
      ['What arrives, and what is read', linesStep(work)],
      ['What each column is', columnsStep(work)],
      ['Station, averages and limits', stationStep(work)],
      [settingTexts.title, settingsStep(work.form)],
      ['Look over, write, start', writeStep(work)],
    ]
    return html`<h1 class="unseen">Set-up</h1>
      <p class="small caution">Flue gas is toxic and hot, condensate is acidic, sampling points are high up, and there is mains voltage. The instrument’s manual, the site’s safety rules, local codes and licensed practice come before anything on this page.</p>
      ${state.pending ? html`<p role="status">The station file was changed; the next run uses it.</p>` : nothing}
      ${streamStep(work)}
      ${steps.map(([title, content], at) => html`<section aria-label=${title}><h2><span class="number">${at + 1}</span>${title}</h2>${content}</section>`)}`
  }
}
customElements.define('set-up-view', SetUpView)
