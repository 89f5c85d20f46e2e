import { html, LitElement } from 'lit'
import { fieldOfInstant, instantOfField, type Zone } from '../../format/times.ts'
import { errorLine } from '../../parts/errors.ts'
import { tell } from '../../parts/tell.ts'
import { shared } from '../../styles/shared.ts'
import { cancel, fromIn } from '../../texts/everywhere.ts'
import * as readingTexts from '../../texts/trend-reading.ts'

/** From and to, typed: for whoever knows the time and does not want to search for it. */
export class StretchDialog extends LitElement {
  static override properties = { error: { state: true }, zone: { attribute: false } }
  static override styles = shared
  declare error: string
  declare zone: Zone | null
  constructor() {
    super()
    this.error = ''
    this.zone = null
  }

  async open(zone: Zone, fromMs: number, toMs: number): Promise<void> {
    this.zone = zone
    this.error = ''
    await this.updateComplete
    for (const [name, ms] of [
      ['from', fromMs],
      ['to', toMs],
    ] as const) {
      const field = this.renderRoot.querySelector<HTMLInputElement>(`[name=${name}]`)
      if (field) field.value = fieldOfInstant(ms, zone)
    }
    this.renderRoot.querySelector('dialog')?.showModal()
  }
  private take(event: SubmitEvent): void {
    event.preventDefault()
    const { zone } = this
    if (!zone) return
    const fields = new FormData(event.target as HTMLFormElement)
    const [from, to] = ['from', 'to'].map((name) => {
      const iso = instantOfField(String(fields.get(name) ?? ''), zone)
      return iso === null ? Number.NaN : Date.parse(iso)
    })
    if (from === undefined || to === undefined || !(to > from)) {
      this.error = readingTexts.stretchWrong
      return
    }
    this.renderRoot.querySelector('dialog')?.close()
    tell(this, 'trend-select', { fromMs: from, toMs: to })
  }

  override render() {
    return html`<dialog aria-labelledby="title"><form @submit=${this.take} novalidate><h2 id="title">${readingTexts.stretchTitle}</h2><p class="soft">${readingTexts.stretchAbout}</p>
      <label>${fromIn(this.zone?.zone ?? '')}<input type="datetime-local" name="from" /></label><label>${readingTexts.toIn(this.zone?.zone ?? '')}<input type="datetime-local" name="to" /></label>
      ${errorLine(this.error)}
      <div class="buttons"><button type="button" class="gloves" @click=${() => this.renderRoot.querySelector('dialog')?.close()}>${cancel}</button><button class="main gloves">${readingTexts.showIt}</button></div></form></dialog>`
  }
}
customElements.define('stretch-dialog', StretchDialog)
