import { html, nothing, type TemplateResult } from 'lit'
import { live } from 'lit/directives/live.js'

interface FieldWords {
  /** Of this page alone: joins the field with what is said of it. */
  readonly id: string
  readonly label: string
  readonly faults?: readonly string[]
  /** A sentence that helps. */
  readonly hint?: string
}
const changedTo = (take: (value: string) => void) => (event: Event) =>
  take((event.target as HTMLInputElement | HTMLSelectElement).value)

/** For a field whose text goes elsewhere once it is entered. */
const thenCleared = (take: (value: string) => void) => (event: Event) => {
  changedTo(take)(event)
  ;(event.target as HTMLInputElement).value = ''
}

const saidOf = ({ id, faults = [], hint }: FieldWords): TemplateResult | typeof nothing =>
  faults.length > 0
    ? html`<span class="fault" id=${`${id}-said`} role="alert">${faults.join(' ')}</span>`
    : hint
      ? html`<span class="hint" id=${`${id}-said`}>${hint}</span>`
      : nothing
const describedBy = ({ id, faults = [], hint }: FieldWords) => (faults.length > 0 || hint ? `${id}-said` : nothing)
const isInvalid = ({ faults = [] }: FieldWords) => (faults.length > 0 ? 'true' : nothing)

/** A text field with its label, and what is wrong with it beside it. */
export const textField = (
  words: FieldWords,
  value: string,
  take: (value: string) => void,
  more: {
    readonly list?: string
    readonly placeholder?: string
    readonly numeric?: boolean
    readonly clears?: boolean
  } = {},
) => html`<div class="field"><label for=${words.id}>${words.label}</label>
    <input id=${words.id} .value=${value} @change=${more.clears ? thenCleared(take) : changedTo(take)} autocomplete="off" spellcheck="false"
      inputmode=${more.numeric ? 'decimal' : nothing} list=${more.list ?? nothing} placeholder=${more.placeholder ?? nothing}
      aria-describedby=${describedBy(words)} aria-invalid=${isInvalid(words)}>${saidOf(words)}</div>`

export const choiceField = (
  words: FieldWords,
  value: string,
  options: readonly (readonly [string, string])[],
  take: (value: string) => void,
) => html`<div class="field"><label for=${words.id}>${words.label}</label>
    <select id=${words.id} @change=${changedTo(take)} aria-describedby=${describedBy(words)} aria-invalid=${isInvalid(words)}>
      ${options.map(([key, text]) => html`<option value=${key} .selected=${live(key === value)}>${text}</option>`)}</select>${saidOf(words)}</div>`

export const errorList = (errors: readonly string[]) =>
  errors.length > 0
    ? html`<ul class="errors" role="alert">${errors.map((error) => html`<li>${error}</li>`)}</ul>`
    : nothing
