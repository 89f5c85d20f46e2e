import { css, html, LitElement, nothing } from 'lit'
import type { CalculationInfo } from '../../../protocols/live/calculations.ts'
import { routeHash } from '../../route.ts'
import type { Session } from '../../session.ts'
import { shared } from '../../styles/shared.ts'
import * as calculationTexts from '../../texts/calculations.ts'
import { askingStation, search } from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import { askStation, type CalculationAsks } from './ask-calculations.ts'
import type { CalculationSheet } from './calculation-sheet.ts'
import { chosenIn, hashOf, matching } from './fields.ts'
import './calculation-sheet.ts'

/** The published calculations: a list to search, and the one that is open. */
export class CalculationsView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    asks: { attribute: false },
    all: { state: true },
    error: { state: true },
    search: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: block; min-width: 0; }
    .both { display: grid; grid-template-columns: minmax(280px, 360px) minmax(0, 1fr); gap: 20px 40px; align-items: start; }
    .list, .open { display: grid; gap: 12px; align-content: start; min-width: 0; }
    input[type='search'] { width: 100%; }
    nav { max-height: calc(100dvh - 260px); min-height: 320px; overflow: auto; border-top: 1px solid var(--line); }
    h2 { font-size: var(--size-small); color: var(--ink-soft); font-weight: 600; padding: 14px 10px 4px; }
    nav a { display: grid; align-content: center; min-height: var(--target); padding: 6px 10px; color: var(--ink); text-decoration: none; border-left: 4px solid transparent; overflow-wrap: anywhere; }
    nav a:focus-visible { outline-offset: -3px; }
    nav a:hover { background: var(--raised); }
    nav a[aria-current] { border-color: var(--ink); background: var(--raised); }
    nav a[aria-current] strong { text-decoration: underline; }
    .back { display: none; }
    h1 { font-size: var(--size-large); line-height: 1.2; margin-bottom: 12px; }
    @media (max-width: 820px) {
      .both { grid-template-columns: minmax(0, 1fr); }
      .chosen .list { display: none; }
      nav { max-height: none; }
      .back { display: inline-flex; }
    }
  `,
  ]
  declare session: Session
  declare tick: number
  declare asks: CalculationAsks
  declare all: readonly CalculationInfo[] | null
  declare error: string
  declare search: string
  private isAsked = false
  private shown: string | null = null
  constructor() {
    super()
    this.asks = askStation
    this.all = null
    this.error = ''
    this.search = ''
  }

  private async ask(): Promise<void> {
    if (this.isAsked) return
    this.isAsked = true
    const answer = await this.asks.all()
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.all = answer.value.calculations
    else this.isAsked = false
  }

  protected override async updated(): Promise<void> {
    const chosen = chosenIn(location.hash)
    const before = this.shown
    this.shown = chosen
    // Where the page begins, the focus stays with the reader.
    if (chosen === before || before === null) return
    if (chosen === '') return this.renderRoot.querySelector('input')?.focus()
    const sheet = this.renderRoot.querySelector<CalculationSheet>('calculation-sheet')
    await sheet?.updateComplete
    sheet?.focus()
  }

  override render() {
    void this.ask()
    if (this.all === null)
      return html`<h1 class="unseen">${viewWords.calculations}</h1>${this.error ? html`<p class="errors" role="alert">${this.error}</p>` : html`<p class="soft">${askingStation}</p>`}`
    const name = chosenIn(location.hash)
    const chosen = this.all.find((one) => one.name === name)
    const pageHash = routeHash(this.session.route)
    return html`<h1 class=${chosen ? 'unseen' : ''}>${viewWords.calculations}</h1>
      <div class=${chosen ? 'both chosen' : 'both'}>${this.list(this.all, name, pageHash)}
      ${
        chosen
          ? html`<div class="open"><a class="button back" href=${hashOf(pageHash, '')}>${calculationTexts.allCalculations}</a><calculation-sheet .asks=${this.asks} .calculation=${chosen}></calculation-sheet></div>`
          : html`<p class="soft">${name ? calculationTexts.unknown(name) : ''}${calculationTexts.choose}</p>`
      }</div>`
  }

  private list(all: readonly CalculationInfo[], name: string, pageHash: string) {
    const found = matching(all, this.search)
    const families = [...new Set(found.map(({ family }) => family))]
    return html`<div class="list"><label>${search}<input type="search" .value=${this.search} @input=${(
      event: Event,
    ) => {
      this.search = (event.target as HTMLInputElement).value
    }}></label>
      <p class="soft small" role="status">${found.length === all.length ? calculationTexts.countOf(all.length) : calculationTexts.foundOf(found.length, all.length)}</p>
      <nav aria-label=${viewWords.calculations}>${families.map((family) => html`<h2>${family}</h2><ul>${found.filter((one) => one.family === family).map((one) => html`<li><a href=${hashOf(pageHash, one.name)} aria-current=${one.name === name ? 'true' : nothing}><strong>${one.name}</strong><span class="soft small">${one.purpose}</span></a></li>`)}</ul>`)}</nav></div>`
  }
}
customElements.define('calculations-view', CalculationsView)
