import { html, nothing, type TemplateResult } from 'lit'
import * as settingTexts from '../../../texts/settings.ts'
import { terms } from '../../../texts/terms.ts'
import { fieldParts } from '../fields.ts'
import { isRecord, type Path, pathText } from './at-path.ts'
import { kindOfValue, nodeOf, type Schema } from './schema-nodes.ts'
import { boundsText, helpText, nameOf, unitOf, valueText } from './setting-words.ts'
import { idOf, type SettingsForm } from './settings-form.ts'

/** One setting of the station file, and how it is asked for here. */
export interface Setting {
  readonly form: SettingsForm
  readonly schema: Schema
  readonly path: Path
  /** In place of the name that the path tells. */
  readonly name?: string
  readonly isNeeded?: boolean
  /** An entry of a list, or one of several names: it can be taken out. */
  readonly isEntry?: boolean
}

/** What a setting does, what is allowed, what holds while it is not set, and the term of the trade. */
export function help({ form, schema, path }: Setting): TemplateResult {
  const key = String(path.at(-1))
  const inForce = form.valueAt(path) === undefined ? form.inForce(path) : undefined
  const term = terms.find(({ term: name }) => name === settingTexts.settingTerms[key])
  const sentence = helpText(String(schema.description ?? ''))
  const bounds = boundsText(schema)
  const holds =
    inForce && !(isRecord(inForce.value) && isRecord(schema.properties)) ? valueText(inForce.value, schema, key) : ''
  const word = wordInFile(schema, form.valueAt(path))
  return html`${sentence.split('`').map((text, at) => (at % 2 === 1 ? (form.nameFor(text, path) ?? html`<code>${text}</code>`) : text))}
    ${word ? html`<span class="line">${settingTexts.inFile} <code>${word}</code></span>` : nothing}
    ${bounds ? html`<span class="line">${bounds}</span>` : nothing}
    ${inForce && holds ? html`<span class="line in-force">${settingTexts.inForce(holds, settingTexts.originWords[inForce.from])}</span>` : nothing}
    ${term ? html`<span class="line">${term.term}: ${term.meaning} (${term.source})</span>` : nothing}`
}

/** The word that stands in the station file for what was chosen by what it does: who edits the file by hand looks for it. */
function wordInFile(schema: Schema, value: unknown): string {
  const node = nodeOf(schema)
  if (node.kind === 'kinds') return node.kinds[kindOfValue(node.kinds, value)]?.word ?? ''
  return node.kind === 'choice' && node.options.some((each) => each.value === value && each.words) ? String(value) : ''
}

export const nameAndUnit = ({ form, path, schema, name }: Setting): string => {
  const unit = unitOf(path, schema, form.ground.edited())
  return `${name ?? nameOf(path, schema)}${unit ? `, ${unit}` : ''}`
}

/** Label, help and faults of a setting that is one field; faults inside it are its own. */
export const partsOf = (setting: Setting) =>
  fieldParts({
    id: idOf(pathText(setting.path)),
    label: nameAndUnit(setting),
    faults: setting.form.faultsAt(setting.path, true),
    hint: help(setting),
  })

/** A value that its setting’s schema has no place for: it stays until it is taken out. */
export const misfit = ({ form, path }: Setting, value: unknown): TemplateResult =>
  html`<p class="small wide"><code>${JSON.stringify(value)}</code> ${settingTexts.doesNotFit} <button @click=${() => form.put(path, undefined)}>${settingTexts.takeOut}</button></p>`
