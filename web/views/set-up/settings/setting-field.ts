import { html, nothing, type TemplateResult } from 'lit'
import { live } from 'lit/directives/live.js'
import { mark } from '../../../parts/marks.ts'
import * as settingTexts from '../../../texts/settings.ts'
import { errorList, fieldParts } from '../fields.ts'
import { isRecord, pathText } from './at-path.ts'
import { choiceField, pairField, typedField } from './plain-fields.ts'
import { fixedKeys, nodeOf, type Part, partsOfKind, type SettingNode, schemaIn, starterOf } from './schema-nodes.ts'
import { help, misfit, nameAndUnit, type Setting } from './setting-help.ts'
import { nameOf, valueText } from './setting-words.ts'
import { idOf, isPlain } from './settings-form.ts'

type NodeOf<K extends SettingNode['kind']> = Extract<SettingNode, { kind: K }>

/** One setting of the station file, as its schema says that it is asked for. */
export function settingField(setting: Setting): TemplateResult {
  const node = nodeOf(setting.schema)
  switch (node.kind) {
    case 'choice':
      return choiceField(setting, node)
    case 'number':
    case 'text':
    case 'length':
      return typedField(setting, node.kind)
    case 'pair':
      return pairField(setting, node)
    case 'kinds':
      return kindsField(setting, node)
    case 'list':
      return folded(setting, () => listBody(setting, node))
    case 'parts':
      return folded(setting, () => partsBody(setting, node.parts))
    case 'named':
      return folded(setting, () => namedBody(setting, node))
  }
}

/** A setting that can be written in several ways: first the way, then what belongs to it. */
function kindsField(setting: Setting, { kinds, about }: NodeOf<'kinds'>): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  const place = form.kindOf(kinds, path)
  const kind = kinds[place]
  const isMore = kind && kind.schema.const === undefined
  const inside = kind && nodeOf(partsOfKind(kind))
  /** The kind is one field by itself: that one stands for the setting. */
  const isOneField = isMore && inside && inside.kind !== 'parts'
  const { id, label, describedBy, isInvalid, said } = fieldParts({
    id: `${idOf(pathText(path))}${isOneField ? '-kind' : ''}`,
    label: setting.name ?? nameOf(path, setting.schema),
    faults: isOneField ? [] : form.faultsAt(path, !kind),
    hint: help({
      ...setting,
      schema: { ...setting.schema, description: sentences(setting.schema.description, about) },
    }),
  })
  return html`<div class="kinds-of wide"><div class="field">${label}
    <select id=${id} @change=${(event: Event) => form.chooseKind(path, kinds, Number((event.target as HTMLSelectElement).value))} aria-describedby=${describedBy} aria-invalid=${isInvalid}>
      <option value="-1" .selected=${live(place < 0)}>${setting.isNeeded || setting.isEntry ? settingTexts.choose : settingTexts.notSet}</option>
      ${kinds.map(({ label: text }, at) => html`<option value=${at} .selected=${live(at === place)}>${text}</option>`)}</select>${said}</div>
    ${kind || value === undefined || value === '' ? nothing : misfit(setting, value)}
    ${
      !isMore || !inside
        ? nothing
        : inside.kind === 'parts'
          ? partsBody(setting, inside.parts, fixedKeys(kind))
          : settingField({ ...setting, schema: kind.schema, name: settingTexts.value, isNeeded: true })
    }</div>`
}

const sentences = (...texts: readonly unknown[]): string => [...new Set(texts.filter(Boolean))].join(' ')

/** A part of the file, which can be folded even where it is a choice between several ways. */
export const settingsPart = (setting: Setting): TemplateResult =>
  nodeOf(setting.schema).kind === 'kinds' ? folded(setting, () => settingField(setting), true) : settingField(setting)

/** A part that is drawn only while it is open. */
function folded(setting: Setting, body: () => TemplateResult, isFieldInside = false): TemplateResult {
  const { form, path } = setting
  const place = pathText(path)
  const faults = form.faultsAt(path, true).length
  return html`<details class="wide" id=${isFieldInside ? nothing : idOf(place)} ?open=${form.isOpen(place)} @toggle=${(event: Event) => form.setOpen(place, (event.target as HTMLDetailsElement).open)}>
    <summary>${nameAndUnit(setting)} <span class="soft small">${noteOf(setting)}</span>${faults > 0 ? html` <span class="at-fault small">${mark('alarm')} ${settingTexts.atFault(faults)}</span>` : nothing}</summary>
    ${form.isOpen(place) ? html`<div class="inside">${isFieldInside ? nothing : html`<p class="small soft said-of">${help(setting)}</p>${errorList(form.faultsAt(path))}`}${body()}${setting.isEntry ? takeOutButton(setting) : nothing}</div>` : nothing}</details>`
}
function noteOf({ form, schema, path }: Setting): string {
  const value = form.valueAt(path)
  if (value === undefined) return settingTexts.notSet
  if (Array.isArray(value)) return settingTexts.entries(value.length)
  if (!isRecord(value)) return ''
  const key = ['id', 'name', 'channel', 'phase', 'average'].find((each) => value[each])
  return typeof path.at(-1) === 'number' && key
    ? valueText(value[key], schemaIn(schema, key))
    : settingTexts.set(Object.keys(value).length)
}

const takeOutButton = ({ form, path, schema, name }: Setting): TemplateResult =>
  html`<button class="take-out" aria-label=${`${settingTexts.takeOut}: ${name ?? nameOf(path, schema)}`} @click=${() => form.takeOut(path)}>${settingTexts.takeOut}</button>`

/** An entry of a list, or one of several names: what is one field has its button beside it. */
const entry = (setting: Setting): TemplateResult =>
  isPlain(setting.schema) || nodeOf(setting.schema).kind === 'kinds'
    ? html`<li class="entry">${settingField(setting)}${takeOutButton(setting)}</li>`
    : html`<li>${settingField(setting)}</li>`

/** The settings of an object; those that it may not have stay, and are shown. `also`: names that are set elsewhere. */
function partsBody(setting: Setting, parts: readonly Part[], also: readonly string[] = []): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  if (value !== undefined && !isRecord(value)) return misfit(setting, value)
  const known = [...parts.map(({ key }) => key), ...also]
  const strange = Object.entries(value ?? {}).filter(([key]) => !known.includes(key))
  // What is one field comes first, side by side; what folds or has several kinds takes the whole width below.
  const isSmall = ({ schema }: Part): boolean => isPlain(schema) || nodeOf(schema).kind === 'pair'
  const inOrder = [...parts.filter(isSmall), ...parts.filter((part) => !isSmall(part))]
  return html`<div class="grid">${inOrder.map(({ key, schema, isNeeded }) => settingField({ form, schema, path: [...path, key], isNeeded }))}</div>
    ${strange.map(([key, one]) => html`<p class="small"><code>${key}</code> ${settingTexts.notKnown} <code>${JSON.stringify(one)}</code> ${takeOutButton({ ...setting, path: [...path, key], name: key })}</p>`)}`
}

function listBody(setting: Setting, { item }: NodeOf<'list'>): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  if (value !== undefined && !Array.isArray(value)) return misfit(setting, value)
  const inForce = form.inForce(path)?.value
  const isElsewhere = value === undefined && Array.isArray(inForce) && inForce.length > 0
  const setHere = (): void => {
    form.put(path, inForce)
    form.jump(pathText([...path, 0]))
  }
  const next = nameOf([...path, (value ?? []).length], item)
  return html`${value?.length === 0 ? html`<p class="soft small">${settingTexts.empty}</p>` : nothing}
    <ol class="entries">${(value ?? []).map((_, at) => entry({ form, schema: item, path: [...path, at], isEntry: true }))}</ol>
    <div class="row">${
      isElsewhere
        ? html`<button @click=${setHere}>${settingTexts.setHere}</button>`
        : html`<button aria-label=${`${settingTexts.add}: ${next}`} @click=${() => form.addEntry(path, starterOf(item))}>${settingTexts.add}</button>`
    }
      ${value === undefined || setting.isNeeded ? nothing : html`<button @click=${() => form.takeOut(path)}>${settingTexts.unset}</button>`}</div>`
}

function namedBody(setting: Setting, { value: schema, of }: NodeOf<'named'>): TemplateResult {
  const { form, path } = setting
  const value = form.valueAt(path)
  if (value !== undefined && !isRecord(value)) return misfit(setting, value)
  const add = (event: Event): void => {
    const field = event.target as HTMLInputElement
    const name = field.value.trim()
    field.value = ''
    if (name === '') return
    if (!Object.hasOwn(value ?? {}, name)) form.put([...path, name], starterOf(schema))
    form.jump(pathText([...path, name]))
  }
  const id = `${idOf(pathText(path))}-new`
  return html`<ol class="entries">${Object.keys(value ?? {}).map((key) => entry({ form, schema, path: [...path, key], name: key, isEntry: true }))}</ol>
    <div class="field"><label for=${id}>${settingTexts.newName(of)}</label><input id=${id} list="channel-ids" @change=${add} autocomplete="off" spellcheck="false"></div>`
}
