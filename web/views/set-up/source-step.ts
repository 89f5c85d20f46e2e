import { html, nothing } from 'lit'
import { streamTexts } from '../../texts/set-up.ts'
import type { SourceDraft } from './draft.ts'
import { choiceField, errorList, textField } from './fields.ts'
import type { SetUpWork } from './work.ts'

const kinds: readonly (readonly [SourceDraft['kind'], string])[] = [
  ['serial', 'A serial port'],
  ['tcp', 'An address in the network'],
  ['file', 'A file that grows'],
]
const rates = ['1200', '2400', '4800', '9600', '19200', '38400', '57600', '115200']
const framings: readonly (readonly [string, string])[] = [
  ['8N1', '8 data bits, no parity, 1 stop bit'],
  ['7E1', '7 data bits, even parity, 1 stop bit'],
  ['7O1', '7 data bits, odd parity, 1 stop bit'],
  ['8E1', '8 data bits, even parity, 1 stop bit'],
  ['8N2', '8 data bits, no parity, 2 stop bits'],
]
const flows: readonly (readonly [string, string])[] = [
  ['none', 'none'],
  ['rts-cts', 'RTS/CTS lines'],
  ['xon-xoff', 'XON/XOFF signs'],
]
const lineEnds: readonly (readonly [string, string])[] = [
  ['auto', 'LF, with or without CR'],
  ['cr', 'CR alone'],
  ['lf', 'LF alone'],
  ['crlf', 'CR and LF'],
]
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
    <fieldset class="kinds"><legend class="unseen">Kind of source</legend>
      ${kinds.map(([kind, text]) => html`<label class="choice"><input type="radio" name="kind" value=${kind} .checked=${source.kind === kind} @change=${() => put({ kind })}><span>${text}</span></label>`)}</fieldset>
    <div class="grid">${source.kind === 'serial' ? serialFields(work, source, put) : source.kind === 'tcp' ? tcpFields(source, put) : source.kind === 'file' ? fileFields(source, put) : html`<p class="soft">${streamTexts.otherKind(String(source.raw.kind))}</p>`}</div>
    ${source.kind === 'file' || source.kind === 'other' ? nothing : askFields(source, put)}
    <div class="row"><button class="main" type="submit" ?disabled=${source.kind === 'other'}>${work.isListening ? 'Listen anew' : 'Listen'}</button>
      ${work.isListening ? html`<button type="button" @click=${() => work.stop()}>Stop listening</button>` : nothing}
      <span class="soft small">Listening records nothing. The port is given back when this page is left.</span></div>
    ${errorList([...work.listenErrors, ...faults])}</form>`
}

const askFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  html`<details ?open=${source.ask !== ''}><summary>It only answers when asked, or ends its lines otherwise</summary><div class="grid">
    ${textField({ id: 'ask', label: 'Ask', hint: 'sent as it stands; \\r and \\n are line ends; empty: it sends by itself' }, source.ask, (ask) => put({ ask }))}
    ${textField({ id: 'ask-every', label: 'Every … seconds' }, source.askEverySeconds, (askEverySeconds) => put({ askEverySeconds }), { numeric: true })}
    ${choiceField({ id: 'line-end', label: 'Line end' }, source.lineEnd, lineEnds, (lineEnd) => put({ lineEnd }))}</div></details>`

function serialFields(work: SetUpWork, source: SourceDraft, put: (what: Partial<SourceDraft>) => void) {
  const ports = work.ports ?? []
  const found = ports.find(({ recommended }) => recommended === source.path)
  return html`${textField({ id: 'port', label: 'Port', hint: found ? [found.description, found.note].filter(Boolean).join(': ') : ports.length > 0 ? 'choose one of the list, or type its path' : 'no port was found: plug the adapter in and open this page anew, or type its path' }, source.path, (path) => put({ path }), { list: 'ports', placeholder: '/dev/serial/by-id/…' })}
    <datalist id="ports">${ports.map(({ recommended, device, description }) => html`<option value=${recommended}>${[device, description].filter(Boolean).join(', ')}</option>`)}</datalist>
    ${choiceField(
      { id: 'rate', label: 'Baud rate', hint: 'as the instrument’s manual says' },
      source.baudRate,
      withOwn(
        rates.map((rate) => [rate, rate] as const),
        source.baudRate,
      ),
      (baudRate) => put({ baudRate }),
    )}
    ${choiceField({ id: 'framing', label: 'Framing' }, source.framing, withOwn(framings, source.framing), (framing) => put({ framing }))}
    ${choiceField({ id: 'flow', label: 'Handshake' }, source.flowControl, flows, (flowControl) => put({ flowControl }))}`
}

const tcpFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  textField(
    { id: 'address', label: 'Address and port', hint: 'of the instrument or its converter, as 192.168.0.20:4001' },
    source.address,
    (address) => put({ address }),
    { placeholder: 'host:port' },
  )

const fileFields = (source: SourceDraft, put: (what: Partial<SourceDraft>) => void) =>
  html`${textField({ id: 'file', label: 'File', hint: 'on the station’s machine; another program adds lines to it' }, source.file, (file) => put({ file }))}
    ${choiceField(
      { id: 'from', label: 'What it holds already' },
      source.from,
      [
        ['end', 'is left out: only new lines count'],
        ['start', 'is read from the start'],
      ],
      (from) => put({ from: from === 'start' ? 'start' : 'end' }),
    )}`
