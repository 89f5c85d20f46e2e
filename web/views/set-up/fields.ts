import { html, nothing, type TemplateResult } from 'lit'
import { live } from 'lit/directives/live.js'
import { afterPress } from './after-press.ts'

interface FieldWords {
  /** Of this page alone: joins the field with what is said of it. */
  readonly id: string
  readonly label: string
  readonly faults?: readonly string[]
  /** A sentence that helps. */
  readonly hint?: string | TemplateResult
}
const changedTo = (take: (value: string) => void) => (event: Event) => {
  const { value } = event.target as HTMLInputElement | HTMLSelectElement
  afterPress(() => take(value))
}

/** For a field whose text goes elsewhere once it is entered. */
const thenCleared = (take: (value: string) => void) => (event: Event) => {
  changedTo(take)(event)
  ;(event.target as HTMLInputElement).value = ''
}

/** What joins a field with its label, its help and what is wrong with it. */
export const fieldParts = ({ id, label, faults = [], hint }: FieldWords) => ({
  id,
  label: html`<label for=${id}>${label}</label>`,
  describedBy: faults.length > 0 || hint ? `${id}-said` : nothing,
  isInvalid: faults.length > 0 ? 'true' : nothing,
  said:
    faults.length > 0 || hint
      ? html`<div class="said-of" id=${`${id}-said`}>${faults.length > 0 ? html`<span class="fault" role="alert">${faults.join(' ')}</span>` : nothing}${hint ? html`<span class="hint">${hint}</span>` : nothing}</div>`
      : nothing,
})

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
) => {
  const { id, label, describedBy, isInvalid, said } = fieldParts(words)
  return html`<div class="field">${label}
    <input id=${id} .value=${value} @change=${more.clears ? thenCleared(take) : changedTo(take)} autocomplete="off" spellcheck="false"
      inputmode=${more.numeric ? 'decimal' : nothing} list=${more.list ?? nothing} placeholder=${more.placeholder ?? nothing}
      aria-describedby=${describedBy} aria-invalid=${isInvalid}>${said}</div>`
}

export const choiceField = (
  words: FieldWords,
  value: string,
  options: readonly (readonly [string, string])[],
  take: (value: string) => void,
) => {
  const { id, label, describedBy, isInvalid, said } = fieldParts(words)
  return html`<div class="field">${label}
    <select id=${id} @change=${changedTo(take)} aria-describedby=${describedBy} aria-invalid=${isInvalid}>
      ${options.map(([key, text]) => html`<option value=${key} .selected=${live(key === value)}>${text}</option>`)}</select>${said}</div>`
}

export const errorList = (errors: readonly string[]) =>
  errors.length > 0
    ? html`<div class="errors" role="alert"><ul>${errors.map((error) => html`<li>${error}</li>`)}</ul></div>`
    : nothing
