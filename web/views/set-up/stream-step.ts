import { html, nothing, type TemplateResult } from 'lit'
import { withoutName } from '../../texts/runs.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { textField } from './fields.ts'
import type { SetUpWork } from './work.ts'

/** Which of a station’s streams the steps show. Until the first one is read there is nothing to choose. */
export function streamStep(work: SetUpWork): TemplateResult | typeof nothing {
  const { streams, place } = work
  const isSeveral = streams.length > 1
  if (!isSeveral && work.profile === null) return nothing
  return html`<div class="streams">
    <div class="row" role="group" aria-label=${setUpTexts.chooseStream}>
      ${isSeveral ? streams.map((stream, at) => html`<button aria-pressed=${at === place ? 'true' : 'false'} @click=${() => at !== place && work.otherStream(() => work.showStream(at))}>${stream || withoutName}</button>`) : nothing}
      <button ?disabled=${streams.length >= 8} @click=${() => work.otherStream(() => work.addStream())}>${setUpTexts.addStream}</button><span class="small soft">${setUpTexts.addStreamHint}</span></div>
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
  return html`<div class="grid">${textField({ id: 'stream-name', label: setUpTexts.streamName, hint: setUpTexts.streamNameHint, faults: work.faultsAt(`streams[${work.place}].id`) }, work.stream, rename)}</div>
    ${
      work.isRemoving
        ? html`<div class="asks" role="alert"><p>${setUpTexts.removesStream(work.stream, work.channelsOfStream())}</p>
        <div class="row"><button @click=${() => work.otherStream(() => work.removeStream())}>${setUpTexts.removeStreamNow}</button><button @click=${ask(false)}>${setUpTexts.keepStream}</button></div></div>`
        : html`<div class="row"><button @click=${ask(true)}>${setUpTexts.removeStream}</button></div>`
    }`
}
