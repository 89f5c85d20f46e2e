import { html, nothing, type TemplateResult } from 'lit'
import { streamTexts } from '../../texts/set-up.ts'
import { textField } from './fields.ts'
import type { SetUpWork } from './work.ts'

/** Which of a station’s streams the steps show. Until the first one is read there is nothing to choose. */
export function streamStep(work: SetUpWork): TemplateResult | typeof nothing {
  const { streams, place } = work
  const isSeveral = streams.length > 1
  if (!isSeveral && work.profile === null) return nothing
  return html`<div class="streams">
    <div class="row" role="group" aria-label=${streamTexts.choose}>
      ${isSeveral ? streams.map((stream, at) => html`<button aria-pressed=${at === place ? 'true' : 'false'} @click=${() => at !== place && work.otherStream(() => work.showStream(at))}>${stream || streamTexts.unnamed}</button>`) : nothing}
      <button ?disabled=${streams.length >= 8} @click=${() => work.otherStream(() => work.addStream())}>${streamTexts.add}</button><span class="small soft">${streamTexts.addHint}</span></div>
    ${isSeveral ? ofStream(work) : nothing}</div>`
}

function ofStream(work: SetUpWork): TemplateResult {
  const rename = (id: string): void => {
    work.renameStream(id)
    work.edited()
  }
  const ask = (isRemoving: boolean) => (): void => {
    work.isRemoving = isRemoving
    work.edited()
  }
  return html`<div class="grid">${textField({ id: 'stream-name', label: streamTexts.name, hint: streamTexts.nameHint, faults: work.faultsAt(`streams[${work.place}].id`) }, work.stream, rename)}</div>
    ${
      work.isRemoving
        ? html`<div class="asks" role="alert"><p>${streamTexts.removes(work.stream, work.channelsOfStream())}</p>
        <div class="row"><button @click=${() => work.otherStream(() => work.removeStream())}>${streamTexts.removeNow}</button><button @click=${ask(false)}>${streamTexts.keep}</button></div></div>`
        : html`<div class="row"><button @click=${ask(true)}>${streamTexts.remove}</button></div>`
    }`
}
