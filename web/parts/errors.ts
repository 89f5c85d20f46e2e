import { html, nothing } from 'lit'

/** What went wrong, told as it comes up. */
export const errorLine = (error: string | null) => (error ? html`<p class="errors" role="alert">${error}</p>` : nothing)
export const errorLines = (errors: readonly string[]) =>
  errors.length > 0
    ? html`<div class="errors" role="alert">${errors.map((error) => html`<p>${error}</p>`)}</div>`
    : nothing
