import { html, nothing, type TemplateResult } from 'lit'
import { live } from 'lit/directives/live.js'
import * as settingTexts from '../../../texts/settings.ts'
import { afterPress } from '../after-press.ts'
import type { Path } from './at-path.ts'
import type { SettingNode } from './schema-nodes.ts'
import { nameAndUnit, partsOf, type Setting } from './setting-help.ts'
import { lengthText, lengthTyped, numberTyped, optionText, shownText, typedText, valueText } from './setting-words.ts'

type NodeOf<K extends SettingNode['kind']> = Extract<SettingNode, { kind: K }>
const textOf = (event: Event): string => (event.target as HTMLInputElement | HTMLSelectElement).value

/** An entry of a list is taken out by its button, not by its emptiness. */
const emptyOf = ({ path, isEntry }: Setting): '' | undefined =>
  isEntry && typeof path.at(-1) === 'number' ? '' : undefined

/** A setting that is typed: a number, a text, or a length of time in words. */
export function typedField(setting: Setting, kind: 'number' | 'text' | 'length'): TemplateResult {
  const { form, path } = setting
  const key = path.at(-1)
  const shown = (value: unknown): string =>
    value === undefined
      ? ''
      : typeof value !== 'string'
        ? valueText(value, {}, key)
        : kind === 'length'
          ? lengthText(value)
          : shownText(key, value)
  const typed = (text: string): unknown =>
    kind === 'number' ? numberTyped(text) : kind === 'length' ? lengthTyped(text) : typedText(key, text)
  const { id, label, describedBy, isInvalid, said } = partsOf(setting)
  const { value, onInput, onBlur } = asTyped(setting, id, shown(form.valueAt(path)))
  const take = (event: Event): void => {
    const text = textOf(event)
    afterPress(() => {
      onBlur()
      form.put(path, text === '' ? emptyOf(setting) : (typed(text) ?? emptyOf(setting)))
    })
  }
  return html`<div class="field">${label}
    <input id=${id} .value=${value} @input=${onInput} @change=${take} @blur=${onBlur} autocomplete="off" spellcheck="false" inputmode=${kind === 'number' ? 'decimal' : nothing} list=${refersTo(path)}
      placeholder=${shown(form.inForce(path)?.value) || nothing} aria-describedby=${describedBy} aria-invalid=${isInvalid}>${said}</div>`
}

/** What is being typed stands in its field whatever is drawn meanwhile, as when the answer to a check comes. */
const asTyped = ({ form }: Setting, field: string, settled: string) => ({
  value: live(form.typedIn(field) ?? settled),
  onInput: (event: Event): void => form.type(field, textOf(event)),
  onBlur: (): void => form.typingEnds(),
})

/** Settings that name a stream or a channel: those that there are can be chosen. */
function refersTo(path: Path): string | typeof nothing {
  const key = String(path.findLast((each) => typeof each === 'string'))
  return key === 'stream' ? 'stream-ids' : ['channel', 'oxygenChannel', 'sumOf'].includes(key) ? 'channel-ids' : nothing
}

/** A setting that is one of several words, yes or no among them. */
export function choiceField(setting: Setting, { options }: NodeOf<'choice'>): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  const own = options.findIndex((each) => each.value === value)
  const isStrange = own < 0 && value !== undefined && value !== ''
  const take = (event: Event): void => {
    const chosen = textOf(event)
    if (chosen !== 'own') form.put(path, chosen === '' ? emptyOf(setting) : options[Number(chosen)]?.value)
  }
  const { id, label, describedBy, isInvalid, said } = partsOf(setting)
  const option = (key: string, text: string, isChosen: boolean) =>
    html`<option value=${key} .selected=${live(isChosen)}>${text}</option>`
  return html`<div class="field">${label}
    <select id=${id} @change=${take} aria-describedby=${describedBy} aria-invalid=${isInvalid}>
      ${option('', setting.isEntry || (setting.isNeeded && !form.inForce(path)) ? settingTexts.choose : settingTexts.notSet, own < 0 && !isStrange)}
      ${isStrange ? option('own', JSON.stringify(value), true) : nothing}
      ${options.map((each, at) => option(String(at), optionText(path.at(-1), each), at === own))}</select>${said}</div>`
}

/** Lowest and highest, set together. */
export function pairField(setting: Setting, { items }: NodeOf<'pair'>): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  const own = items.map((_, at): unknown => (Array.isArray(value) ? value[at] : undefined) ?? '')
  const take = (place: number) => (event: Event) => {
    const all = own.with(place, numberTyped(textOf(event)) ?? '')
    afterPress(() => {
      form.typingEnds()
      form.put(path, all.every((one) => one === '') ? undefined : all)
    })
  }
  const { id, describedBy, isInvalid, said } = partsOf(setting)
  return html`<fieldset class="field" id=${id}><legend class="small soft">${nameAndUnit(setting)}</legend><div class="pair">
    ${own.map((one, at) => {
      const { value: shown, onInput, onBlur } = asTyped(setting, `${id}-${at}`, String(one))
      return html`<label>${at === 0 ? settingTexts.lowest : settingTexts.highest}<input .value=${shown} @input=${onInput} @change=${take(at)} @blur=${onBlur} inputmode="decimal" autocomplete="off" aria-describedby=${describedBy} aria-invalid=${isInvalid}></label>`
    })}</div>${said}</fieldset>`
}
