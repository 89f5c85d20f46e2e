import { html, nothing } from 'lit'
import * as setUpTexts from '../../texts/set-up.ts'
import type { SourceDraft } from './draft.ts'
import { choiceField, errorList, textField } from './fields.ts'
import type { SetUpWork } from './work.ts'

const kinds = ['serial', 'tcp', 'file'] as const
const rates = ['1200', '2400', '4800', '9600', '19200', '38400', '57600', '115200']
/** What the file has and the list has not stays choosable. */
const withOwn = (options: readonly (readonly [string, string])[], own: string) =>
  options.some(([key]) => key === own) ? options : [[own, own] as const, ...options]

/** Where the lines come from. Enter in a field listens, as the button does. */
export function sourceStep(work: SetUpWork) {
  const { source } = work
  if (!source) return nothing
  const put = (what: Partial<SourceDraft>) => {
    Object.assign(source, what)
    work.edited()
  }
  const faults = ['id', 'source', 'profile', 'poll'].flatMap((key) => work.faultsAt(`streams[${work.place}].${key}`))
  return html`<form @submit=${(event: Event) => {
    event.preventDefault()
    void work.listen()
  }}>
    <fieldset class="kinds"><legend class="unseen">${setUpTexts.kindOfSource}</legend>
      ${kinds.map((kind) => html`<label class="choice"><input type="radio" name="kind" value=${kind} .checked=${source.kind === kind} @change=${() => put({ kind })}><span>${setUpTexts.sourceKinds[kind]}</span></label>`)}</fieldset>
    <div class="grid">${source.kind === 'serial' ? serialFields(work, source, put) : source.kind === 'tcp' ? tcpFields(source, put) : source.kind === 'file' ? fileFields(source, put) : html`<p class="soft">${setUpTexts.otherKind(work.form?.nameOfSource(source.raw) ?? String(source.raw.kind))}</p>`}</div>
    ${source.kind === 'file' || source.kind === 'other' ? nothing : askFields(source, put)}
    <div class="row"><button class="main" type="submit" ?disabled=${source.kind === 'other'}>${work.isListening ? setUpTexts.listenAnew : setUpTexts.listen}</button>
      ${work.isListening ? html`<button type="button" @click=${() => work.stop()}>${setUpTexts.stopListening}</button>` : nothing}
      <span class="soft small">${setUpTexts.listeningAbout}</span></div>
    ${errorList([...work.listenErrors, ...faults])}</form>`
}

const askFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  html`<details ?open=${source.ask !== ''}><summary>${setUpTexts.asked}</summary><div class="grid">
    ${textField({ id: 'ask', label: setUpTexts.ask, hint: setUpTexts.askHint }, source.ask, (ask) => put({ ask }))}
    ${textField({ id: 'ask-every', label: setUpTexts.askEvery }, source.askEverySeconds, (askEverySeconds) => put({ askEverySeconds }), { numeric: true })}
    ${choiceField({ id: 'line-end', label: setUpTexts.lineEnd }, source.lineEnd, setUpTexts.lineEnds, (lineEnd) => put({ lineEnd }))}</div></details>`

function serialFields(work: SetUpWork, source: SourceDraft, put: (what: Partial<SourceDraft>) => void) {
  const ports = work.ports ?? []
  const found = ports.find(({ recommended }) => recommended === source.path)
  return html`${textField({ id: 'port', label: setUpTexts.port, hint: found ? [found.description, found.note].filter(Boolean).join(': ') : ports.length > 0 ? setUpTexts.choosePort : setUpTexts.noPort }, source.path, (path) => put({ path }), { list: 'ports', placeholder: setUpTexts.portExample })}
    <datalist id="ports">${ports.map(({ recommended, device, description }) => html`<option value=${recommended}>${[device, description].filter(Boolean).join(', ')}</option>`)}</datalist>
    ${choiceField(
      { id: 'rate', label: setUpTexts.baudRate, hint: setUpTexts.baudRateHint },
      source.baudRate,
      withOwn(
        rates.map((rate) => [rate, rate] as const),
        source.baudRate,
      ),
      (baudRate) => put({ baudRate }),
    )}
    ${choiceField({ id: 'framing', label: setUpTexts.framing }, source.framing, withOwn(setUpTexts.framings, source.framing), (framing) => put({ framing }))}
    ${choiceField({ id: 'flow', label: setUpTexts.handshake }, source.flowControl, setUpTexts.handshakes, (flowControl) => put({ flowControl }))}`
}

const tcpFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  textField(
    { id: 'address', label: setUpTexts.address, hint: setUpTexts.addressHint },
    source.address,
    (address) => put({ address }),
    { placeholder: setUpTexts.addressExample },
  )

const fileFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  html`${textField({ id: 'file', label: setUpTexts.file, hint: setUpTexts.fileHint }, source.file, (file) => put({ file }))}
    ${choiceField({ id: 'from', label: setUpTexts.heldAlready }, source.from, setUpTexts.heldOptions, (from) =>
      put({ from: from === 'start' ? 'start' : 'end' }),
    )}`
