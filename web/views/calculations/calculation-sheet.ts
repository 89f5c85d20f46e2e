import { css, html, LitElement, nothing } from 'lit'
import type { CalculationAnswer, CalculationInfo, CalculationInput } from '../../../protocols/live/calculations.ts'
import { decimalMark, significantText } from '../../format/numbers.ts'
import { mark } from '../../parts/marks.ts'
import { shared } from '../../styles/shared.ts'
import * as calculationTexts from '../../texts/calculations.ts'
import { askStation, type CalculationAsks } from './ask-calculations.ts'
import { exampleFields, type Fields, faultsByInput, textOf, withUnit } from './fields.ts'

const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`
/** As it is typed, with the signs of print: here vol% and % stand side by side, so neither is shortened. */
const unitText = (unit: string) =>
  unit === '1'
    ? calculationTexts.plainNumber
    : unit
        .replace(/(m|ft)([23])(?=\/|$)/g, (_, of: string, power: string) => of + (power === '2' ? '²' : '³'))
        .replace(/^deg(?=[CFR]$)/, '°')
        .replace(/^u(?=[gm])/, 'µ')
const isMass = (unit: string) => unit.includes('/')

/** One calculation: its inputs worked as they are typed, the result, and where it comes from. */
export class CalculationSheet extends LitElement {
  static override properties = {
    calculation: { attribute: false },
    asks: { attribute: false },
    fields: { state: true },
    unit: { state: true },
    found: { state: true },
    errors: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; align-content: start; max-width: 860px; }
    h2 { width: fit-content; margin-bottom: 8px; overflow-wrap: anywhere; }
    form { display: grid; gap: 14px 24px; grid-template-columns: repeat(auto-fill, minmax(min(100%, 330px), 1fr)); }
    .input { display: grid; grid-template-columns: minmax(0, 1fr) auto; gap: 4px 8px; align-content: start; }
    .input label, .input p { grid-column: 1 / -1; }
    .input label { font-size: var(--size-text); color: var(--ink); }
    .input input, .input > select:first-of-type { width: 100%; min-width: 0; }
    .unit { min-width: 112px; max-width: 150px; }
    span.unit { display: flex; align-items: center; color: var(--ink-soft); }
    .wide { grid-column: 1 / -1 !important; }
    code { font-family: ui-monospace, monospace; font-size: 0.92em; }
    [aria-invalid='true'] { border: 2px solid var(--mark-alarm); }
    .fault { display: flex; gap: 6px; align-items: start; }
    .result { border-top: 2px solid var(--edge); border-bottom: 1px solid var(--line); padding: 14px 0; display: grid; gap: 6px; }
    .result .row { gap: 12px; align-items: baseline; }
    output { font-size: var(--size-figure); font-weight: 600; overflow-wrap: anywhere; line-height: 1.2; }
    output.several { font-size: var(--size-large); }
    dl { display: grid; grid-template-columns: 110px minmax(0, 1fr); gap: 8px 16px; }
    dt { color: var(--ink-soft); }
    dd { overflow-wrap: anywhere; }
    .caution { display: flex; gap: 10px; border-left: 6px solid var(--caution-edge); padding-left: 12px; }
    @media (max-width: 520px) { dl { grid-template-columns: minmax(0, 1fr); gap: 2px; } dd { margin-bottom: 8px; } }
  `,
  ]
  declare calculation: CalculationInfo
  declare asks: CalculationAsks
  declare fields: Fields
  declare unit: string
  declare found: CalculationAnswer | null
  declare errors: readonly string[]
  private asked = 0
  constructor() {
    super()
    this.asks = askStation
    this.fields = {}
    this.unit = ''
    this.found = null
    this.errors = []
  }

  protected override willUpdate(changed: Map<string, unknown>): void {
    if (changed.has('calculation')) this.startAnew()
  }
  /** For whoever came by keyboard: what was chosen is read out. */
  override focus(): void {
    this.renderRoot.querySelector('h2')?.focus()
  }

  private startAnew(): void {
    this.fields = exampleFields(this.calculation)
    this.unit = ''
    this.found = null
    this.errors = []
    void this.work()
  }

  /** The newest question wins: an answer that was overtaken is dropped. */
  private async work(): Promise<void> {
    const turn = ++this.asked
    const { name, inputs } = this.calculation
    const given = inputs.flatMap((input) => {
      const text = textOf(this.fields[input.name] ?? { text: '', unit: '' }, input, decimalMark())
      return text === null ? [] : [[input.name, text] as const]
    })
    const answer = await this.asks.result(name, { inputs: Object.fromEntries(given), unit: this.unit || null })
    if (turn !== this.asked) return
    this.found = answer.ok ? answer.value : null
    this.errors = answer.ok ? [] : answer.errors
  }

  private type(input: CalculationInput, text: string): void {
    this.fields = { ...this.fields, [input.name]: { text, unit: this.fields[input.name]?.unit ?? '' } }
    void this.work()
  }
  private turnUnit(input: CalculationInput, unit: string): void {
    this.fields = withUnit(this.fields, this.calculation.inputs, input.name, unit)
    // A result in a unit of the reader's own follows its inputs.
    if (input.open) this.unit = ''
    void this.work()
  }

  override render() {
    const { name, purpose, inputs, formula, valid, source, status, checks, caution, example } = this.calculation
    const faults = faultsByInput(
      this.errors,
      inputs.map((input) => input.name),
    )
    return html`<div><h2 tabindex="-1">${name}</h2><p>${sentence(purpose)}</p></div>
      <form autocomplete="off" @submit=${(event: Event) => event.preventDefault()} aria-label=${calculationTexts.inputs}>${inputs.map((input) => this.input(input, faults.get(input.name) ?? []))}</form>
      ${this.result(faults.get('') ?? [])}
      ${caution ? html`<p class="caution">${mark('caution', 20)}<span>${caution}</span></p>` : nothing}
      <dl><dt>${calculationTexts.formula}</dt><dd><code>${formula}</code></dd>
        <dt>${calculationTexts.holdsFor}</dt><dd>${valid}</dd>
        <dt>${calculationTexts.source}</dt><dd>${source}</dd>
        <dt>${calculationTexts.status}</dt><dd>${calculationTexts.statusTexts[status]}</dd>
        <dt>${calculationTexts.checks}</dt><dd>${checks.length ? checks.join(', ') : calculationTexts.exampleAlone}</dd>
        <dt>${calculationTexts.example}</dt><dd>${[example.value].flat().join(', ')} ${example.unit === '1' ? '' : unitText(example.unit)}${example.note ? `, ${example.note}` : ''}</dd></dl>
      <p class="row"><button @click=${() => this.startAnew()}>${calculationTexts.exampleAgain}</button></p>`
  }

  private input(input: CalculationInput, faults: readonly string[]) {
    const { name, meaning, units, options, kind } = input
    const field = this.fields[name] ?? { text: '', unit: '' }
    const isWrong = faults.length > 0 ? 'true' : 'false'
    const take = (event: Event) => this.type(input, (event.target as HTMLInputElement).value)
    const control =
      kind === 'choice'
        ? html`<select id=${name} class="wide" aria-invalid=${isWrong} aria-describedby=${`${name}-hint`} @change=${take}>${options.map((option) => html`<option ?selected=${option === field.text}>${option}</option>`)}</select>`
        : html`<input id=${name} class=${units.length ? '' : 'wide'} .value=${field.text} inputmode=${kind === 'number' ? 'decimal' : 'text'} spellcheck="false" aria-invalid=${isWrong} aria-describedby=${`${name}-hint`} @input=${take}>`
    return html`<div class=${kind === 'rows' || kind === 'choices' ? 'input wide' : 'input'}><label for=${name}>${sentence(meaning)}</label>${control}${kind === 'choice' ? nothing : this.unitOf(input, field.unit)}
      <p class="soft small" id=${`${name}-hint`}>${hint(input)}</p>
      ${faults.map((fault) => html`<p class="fault small">${mark('alarm')}<span>${fault}</span></p>`)}</div>`
  }

  private unitOf(input: CalculationInput, unit: string) {
    const { name, units } = input
    if (units.length === 0) return nothing
    if (units.length === 1) return units[0] === '1' ? nothing : html`<span class="unit">${unitText(unit)}</span>`
    return html`<select class="unit" aria-label=${calculationTexts.unitOf(name)} @change=${(event: Event) => this.turnUnit(input, (event.target as HTMLSelectElement).value)}>${units.map((one) => html`<option value=${one} ?selected=${one === unit}>${unitText(one)}</option>`)}</select>`
  }

  private result(faults: readonly string[]) {
    const { result, inputs } = this.calculation
    const { found } = this
    const isOpen = inputs.some((input) => input.open) && result.units[0] === 'ppm'
    const units = isOpen ? result.units.filter((unit) => isMass(unit) === isMass(found?.unit ?? 'ppm')) : result.units
    const unit = found?.unit ?? units[0] ?? ''
    return html`<section class="result" aria-label=${calculationTexts.result}><p>${sentence(result.name)}</p>
      <div class="row"><output class=${Array.isArray(found?.value) ? 'several' : ''} aria-live="polite">${found ? valueText(found.value) : '–'}</output>
      ${
        units.length > 1
          ? html`<select class="unit" aria-label=${calculationTexts.unitOfResult} @change=${(event: Event) => {
              this.unit = (event.target as HTMLSelectElement).value
              void this.work()
            }}>${units.map((one) => html`<option value=${one} ?selected=${one === unit}>${unitText(one)}</option>`)}</select>`
          : unit === '' || unit === '1'
            ? nothing
            : html`<span>${unitText(unit)}</span>`
      }</div>
      ${faults.map((fault) => html`<p class="fault" role="status">${mark('alarm')}<span>${fault}</span></p>`)}</section>`
  }
}
customElements.define('calculation-sheet', CalculationSheet)

const valueText = (value: CalculationAnswer['value']): string =>
  typeof value === 'string' ? value : [value].flat().map(significantText).join('; ')

/** The name that the formula has for an input, what it may be, and what stands in for it. */
function hint({ name, kind, units, low, high, options, otherwise, fewest, most }: CalculationInput) {
  const own = units[0] === undefined || units[0] === '1' ? '' : ` ${unitText(units[0])}`
  const isOpen = low !== null && high !== null && low <= -1e6 && high >= 1e6
  const range =
    kind === 'choices'
      ? calculationTexts.partedByCommas(options.join(', '))
      : low === null || high === null
        ? ''
        : isOpen
          ? calculationTexts.anyNumber
          : calculationTexts.range(significantText(low), `${significantText(high)}${own}`)
  const count = kind === 'list' ? calculationTexts.several(fewest, most) : ''
  return html`<code>${name}</code>${range ? `: ${range}` : ''}${count}${otherwise === null ? '' : calculationTexts.ifLeftEmpty(typeof otherwise === 'number' ? `${significantText(otherwise)}${own}` : otherwise)}`
}
