import { css, html, LitElement, nothing, type TemplateResult } from 'lit'
import type { Asked } from '../answers.ts'
import { errorLines } from '../parts/errors.ts'
import { tell } from '../parts/tell.ts'
import { shared } from '../styles/shared.ts'
import * as dialogTexts from '../texts/dialogs.ts'
import { cancel, stationComputes } from '../texts/everywhere.ts'
import { rememberedName, rememberName } from './remembered.ts'

/** What a dialog asks for and does: every action carries the name of who did it. */
export interface Signed {
  readonly title: string
  /** Above the fields: what it is about, and what to do. */
  readonly about: TemplateResult | typeof nothing
  readonly noteLabel: string
  readonly noteNeeded: boolean
  readonly isOneLine?: boolean
  /** Most characters of a note of one line. */
  readonly longest?: number
  readonly confirm: string
  readonly more?: TemplateResult
  /** Ready-made notes, one press each. */
  readonly ready?: readonly string[]
  /** A ready-made note is sent at once where the name is known: two taps in all. */
  readonly readySends?: boolean
  /** What stands in the note at first. */
  readonly note?: string
  readonly send: (by: string, note: string, fields: FormData) => Promise<Asked<true>>
}

/** A native dialog with name and note. The name is remembered in this browser; focus goes to the first thing still missing. */
export class SignedDialog extends LitElement {
  static override properties = { signed: { attribute: false }, errors: { state: true }, busy: { state: true } }
  static override styles = [
    shared,
    css`
    form { grid-template-columns: minmax(0, 1fr); }
    input, select { width: 100%; min-width: 0; }
    .steps { max-height: 22dvh; overflow: auto; border-top: 1px solid var(--line); border-bottom: 1px solid var(--line); padding: 8px 4px; display: grid; gap: 10px; }
    .steps ol { list-style: decimal; padding-left: 1.6em; }
    .cautions { border-left: 6px solid var(--caution-edge); padding-left: 12px; display: grid; gap: 4px; }
    dialog:has(.steps) { width: min(720px, calc(100vw - 24px)); }
    form:not(:has([name='when'] option[value='at']:checked)) .at-a-time, form:has([name='end'] option[value='hand']:checked) .after-minutes { display: none; }
    .figures { display: grid; grid-template-columns: repeat(auto-fill, minmax(150px, 1fr)); gap: 8px 12px; }
    .ready { display: flex; flex-wrap: wrap; gap: 8px; }
  `,
  ]
  declare signed: Signed | null
  declare errors: readonly string[]
  declare busy: boolean
  constructor() {
    super()
    this.signed = null
    this.errors = []
    this.busy = false
  }

  private get dialog(): HTMLDialogElement | null {
    return this.renderRoot.querySelector('dialog')
  }

  close(): void {
    this.dialog?.close()
  }

  async open(signed: Signed): Promise<void> {
    this.signed = signed
    this.errors = []
    this.busy = false
    await this.updateComplete
    const form = this.renderRoot.querySelector('form')
    form?.reset()
    const name = this.field('by')
    if (name) name.value = rememberedName()
    const note = this.field('note')
    if (note && signed.note) note.value = signed.note
    if (!this.dialog?.open) this.dialog?.showModal()
    const figure = this.renderRoot.querySelector<HTMLInputElement>('.figures input')
    const first = figure ?? this.field(signed.noteNeeded || name?.value ? 'note' : 'by')
    // What can hurt stands at the top and stays in sight; the first key typed brings the field there.
    first?.focus({ preventScroll: true })
    this.dialog?.scrollTo(0, 0)
  }
  private field(name: string): HTMLInputElement | HTMLTextAreaElement | null {
    return this.renderRoot.querySelector(`[name=${name}]`)
  }

  private async send(event: SubmitEvent): Promise<void> {
    event.preventDefault()
    const { signed } = this
    if (!signed || this.busy) return
    const fields = new FormData(event.target as HTMLFormElement)
    const by = String(fields.get('by') ?? '').trim()
    const note = String(fields.get('note') ?? '').trim()
    const lacksNote = signed.noteNeeded && !note
    if (!by || lacksNote) {
      const labels = [lacksNote ? signed.noteLabel : '', by ? '' : dialogTexts.name]
      this.errors = labels.filter(Boolean).map((label) => dialogTexts.needed + label)
      // What is told moves the buttons down, on a phone out of sight: the hand goes to what is missing.
      this.field(lacksNote ? 'note' : 'by')?.focus()
      return
    }
    rememberName(by)
    this.busy = true
    const answer = await signed.send(by, note, fields)
    this.busy = false
    if (answer.ok) {
      this.close()
      tell(this, 'signed', signed.title)
    } else this.errors = answer.errors
  }
  private take(text: string): void {
    const note = this.field('note')
    if (!note) return
    note.value = note.value ? `${note.value}; ${text}` : text
    if (!this.signed?.readySends) return
    const name = this.field('by')
    if (name?.value.trim()) this.renderRoot.querySelector('form')?.requestSubmit()
    else name?.focus()
  }

  override render() {
    const { signed } = this
    return html`<dialog aria-labelledby="title">${
      signed
        ? html`<form @submit=${(event: SubmitEvent) => this.send(event)} novalidate>
        <h2 id="title">${signed.title}</h2>${signed.about}
        ${signed.more ?? nothing}
        ${signed.ready ? html`<div class="ready" role="group" aria-label=${dialogTexts.readyNotes}>${signed.ready.map((text) => html`<button type="button" class=${signed.readySends ? 'gloves' : ''} @click=${() => this.take(text)}>${text}</button>`)}</div>` : nothing}
        <label>${signed.noteLabel}${signed.isOneLine ? html`<input name="note" maxlength=${signed.longest ?? 60} />` : html`<textarea name="note" maxlength="2000"></textarea>`}</label>
        <label>${dialogTexts.name}<input name="by" maxlength="60" autocomplete="name" /></label>
        ${errorLines(this.errors)}
        <div class="buttons"><button type="button" class="gloves" @click=${this.close}>${cancel}</button><button type="submit" class="main gloves">${this.busy ? stationComputes : signed.confirm}</button></div>
      </form>`
        : nothing
    }</dialog>`
  }
}
customElements.define('signed-dialog', SignedDialog)
