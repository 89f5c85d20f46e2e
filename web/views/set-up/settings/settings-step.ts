import { html, nothing, type TemplateResult } from 'lit'
import * as settingTexts from '../../../texts/settings.ts'
import { channelsIn, streamsIn } from '../draft.ts'
import { isRecord } from './at-path.ts'
import { nodeOf, type Part } from './schema-nodes.ts'
import { settingField, settingsPart } from './setting-field.ts'
import { idOf, isPlain, type SettingsForm, topGroup } from './settings-form.ts'

/** Every setting of the station file, part by part. What the steps above show is set here too, in the same file. */
export function settingsStep(form: SettingsForm | null): TemplateResult {
  if (!form) return html`<p class="soft">${settingTexts.asking}</p>`
  const node = nodeOf(form.schema)
  const parts = node.kind === 'parts' ? node.parts : []
  const station = form.ground.edited()
  const ids = (of: readonly Record<string, unknown>[]) =>
    of.map(({ id }) => html`<option value=${String(id)}></option>`)
  return html`<p class="small soft">${settingTexts.intro}</p>${searchField(form)}${faultCount(form)}
    <datalist id="channel-ids">${ids(channelsIn(station))}</datalist><datalist id="stream-ids">${ids(streamsIn(station))}</datalist>
    <div class="settings">${topPart(
      form,
      parts.filter(({ schema }) => isPlain(schema)),
    )}${parts.filter(({ schema }) => !isPlain(schema)).map(({ key, schema, isNeeded }) => settingsPart({ form, schema, path: [key], isNeeded }))}</div>`
}

function searchField(form: SettingsForm): TemplateResult {
  const { count, shown } = form.found()
  const isSearching = form.search.trim() !== ''
  return html`<div class="field"><label for="settings-search">${settingTexts.search}</label>
      <input id="settings-search" type="search" .value=${form.search} @input=${(event: Event) => form.lookFor((event.target as HTMLInputElement).value)} autocomplete="off" spellcheck="false" aria-describedby="settings-search-said">
      <div class="said-of" id="settings-search-said"><span class="hint">${settingTexts.searchHint}</span></div></div>
    <p role="status" class=${isSearching ? 'small' : 'unseen'}>${isSearching ? (count === 0 ? settingTexts.notFound : settingTexts.found(count, shown.length)) : ''}</p>
    ${count > 0 ? html`<ul class="found">${shown.map(({ place, name, help }) => html`<li><button @click=${() => form.jump(place)}><b>${name}</b> <span class="small">${help.replaceAll('`', '')}</span></button></li>`)}</ul>` : nothing}`
}

function faultCount(form: SettingsForm): TemplateResult | typeof nothing {
  const faults = form.ground.faults()
  const [first] = faults
  if (!first) return nothing
  const stray = form.strayFaults()
  return html`<div class="errors" role="alert"><p>${settingTexts.atFault(faults.length)}.</p>${stray.length > 0 ? html`<ul>${stray.map(({ path, message }) => html`<li><code>${path}</code> ${message}</li>`)}</ul>` : nothing}</div>
    <div class="row"><button @click=${() => form.jump(first.path)}>${settingTexts.jump}</button></div>`
}

/** Settings that stand beside the parts of the file. */
function topPart(form: SettingsForm, parts: readonly Part[]): TemplateResult {
  const isOpen = form.isOpen(topGroup)
  const station = form.ground.edited()
  const { properties } = form.schema
  const strange = Object.keys(station).filter((key) => !isRecord(properties) || !Object.hasOwn(properties, key))
  return html`<details class="wide" id=${idOf(topGroup)} ?open=${isOpen} @toggle=${(event: Event) => form.setOpen(topGroup, (event.target as HTMLDetailsElement).open)}>
    <summary>${settingTexts.top}</summary>
    ${
      isOpen
        ? html`<div class="inside"><p class="small soft">${settingTexts.topAbout}</p><div class="grid">${parts.map(({ key, schema, isNeeded }) => settingField({ form, schema, path: [key], isNeeded }))}</div>
      ${strange.map((key) => html`<p class="small"><code>${key}</code> ${settingTexts.notKnown} <button @click=${() => form.takeOut([key])}>${settingTexts.takeOut}</button></p>`)}</div>`
        : nothing
    }</details>`
}
