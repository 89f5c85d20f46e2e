import { css, html, LitElement, nothing } from 'lit'
import type { RecordingSummary, VerifyAnswer } from '../../../protocols/live/requests.ts'
import {
  askRecordings,
  askVerification,
  bringRecording,
  exportPath,
  recordingFilePath,
  removeRecording,
} from '../../answers.ts'
import { durationText } from '../../format/durations.ts'
import { bytesText, numberText, wholeText } from '../../format/numbers.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import { errorLine } from '../../parts/errors.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import { plainRoute, routeHash } from '../../route.ts'
import type { Session } from '../../session.ts'
import type { Signed } from '../../shell/signed-dialog.ts'
import { shared } from '../../styles/shared.ts'
import * as everywhere from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import * as recordingTexts from '../../texts/recordings.ts'
import { compare, compareOf } from '../../texts/settings-comparison.ts'
import * as testTexts from '../../texts/test-of-runs.ts'
import './settings-comparison.ts'
import './test-of-runs.ts'
import './two-runs.ts'

type Verification =
  | { readonly state: 'asking' }
  | { readonly state: 'done'; readonly answer: VerifyAnswer }
  | { readonly state: 'failed'; readonly text: string }

const nameOf = (one: RecordingSummary): string => one.name || one.id
const endOfName = '.flue.sqlite'

/** What was recorded: find it, open it for replay, check its seals, export it, carry it away, bring one along, remove it. */
export class RecordingsView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    recordings: { state: true },
    error: { state: true },
    verified: { state: true },
    search: { state: true },
    told: { state: true },
    chosen: { state: true },
    tested: { state: true },
    tried: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; }
    li { display: grid; grid-template-columns: minmax(220px, 1fr) minmax(0, 1.4fr) 430px; gap: 8px 28px; padding: 16px 0; border-top: 1px solid var(--line); align-items: start; }
    .state { display: flex; gap: 6px; align-items: center; color: var(--ink-soft); }
    dl { display: flex; flex-wrap: wrap; gap: 6px 28px; }
    dt { font-size: var(--size-small); color: var(--ink-soft); }
    .plate { background: var(--caution); color: var(--on-caution); border: 1px solid var(--caution-edge); padding: 0 8px; font-size: var(--size-small); font-weight: 600; }
    .row { justify-content: end; }
    .head { display: flex; flex-wrap: wrap; gap: 12px 28px; align-items: end; min-width: 0; }
    input[type='file'] { padding: 10px 14px; max-width: 100%; }
    .pick { display: flex; gap: 10px; align-items: center; min-height: var(--target); color: var(--ink); }
    .pick input { min-height: 0; width: 24px; height: 24px; }
    .whole { grid-column: 1 / -1; }
    @media (max-width: 1100px) { li { grid-template-columns: minmax(0, 1fr); } .row { justify-content: start; } }
  `,
  ]
  declare session: Session
  declare tick: number
  declare recordings: readonly RecordingSummary[] | null
  declare error: string
  declare verified: ReadonlyMap<string, Verification>
  declare search: string
  /** What came of bringing or removing. */
  declare told: readonly string[]
  /** Up to two that are laid on one chart. */
  declare chosen: readonly string[]
  /** Those that make a test together. */
  declare tested: readonly string[]
  /** The recording that other settings are tried on; null: none. */
  declare tried: string | null
  private askedFor = ''
  constructor() {
    super()
    this.recordings = null
    this.error = ''
    this.verified = new Map()
    this.search = ''
    this.told = []
    this.chosen = []
    this.tested = []
    this.tried = null
  }

  protected async ask(key: string): Promise<void> {
    if (key === this.askedFor) return
    this.askedFor = key
    const answer = await askRecordings()
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.recordings = answer.value.recordings
  }
  private async bring(input: HTMLInputElement): Promise<void> {
    const file = input.files?.[0]
    if (!file) return
    const name = file.name.endsWith(endOfName) ? file.name.slice(0, -endOfName.length) : file.name
    this.told = [recordingTexts.bringing(file.name)]
    const answer = await bringRecording(name, file)
    input.value = ''
    this.told = answer.ok ? [recordingTexts.brought(name)] : answer.errors
    this.askAgain()
  }
  private askAgain(): void {
    this.askedFor = ''
    this.requestUpdate()
  }
  private askRemoval(one: RecordingSummary): void {
    tell<Signed>(this, 'ask-signed', {
      title: recordingTexts.removeTitle(nameOf(one)),
      about: html`<p>${recordingTexts.removeAbout}</p><p>${recordingTexts.itsName(html`<strong>${one.id}</strong>`)}</p>`,
      noteLabel: recordingTexts.typeItsName,
      noteNeeded: true,
      isOneLine: true,
      longest: 220,
      confirm: recordingTexts.removeIt,
      send: async (by, typed) => {
        const answer = await removeRecording(one.id, by, typed)
        if (answer.ok) {
          this.told = [recordingTexts.removed(nameOf(one))]
          this.choose(one.id, false)
          this.takeIntoTest(one.id, false)
          this.askAgain()
        }
        return answer
      },
    })
  }
  private choose(id: string, isChosen: boolean): void {
    this.chosen = isChosen ? [...this.chosen.slice(-1), id] : this.chosen.filter((one) => one !== id)
  }

  private takeIntoTest(id: string, isTaken: boolean): void {
    this.tested = isTaken ? [...this.tested, id] : this.tested.filter((one) => one !== id)
  }

  private try(id: string): void {
    this.tried = this.tried === id ? null : id
  }
  /** The button is never disabled: the focus would go with it. */
  private async verify(id: string): Promise<void> {
    if (this.verified.get(id)?.state === 'asking') return
    this.verified = new Map([...this.verified, [id, { state: 'asking' }]])
    const answer = await askVerification(id)
    this.verified = new Map([
      ...this.verified,
      [id, answer.ok ? { state: 'done', answer: answer.value } : { state: 'failed', text: answer.errors.join(' ') }],
    ])
  }

  override render() {
    const { station, link } = this.session.state
    void this.ask(`${station?.run.recording}/${station?.run.state}/${link.state}`)
    if (!station) return html`<p class="soft">${everywhere.waitingForStation}</p>`
    return html`<h1 class="unseen">${viewWords.recordings}</h1>
      ${errorLine(this.error)}
      ${this.recordings === null ? (this.error ? nothing : html`<p class="soft">${everywhere.askingStation}</p>`) : this.recordings.length === 0 ? this.noneYet(station.streams.length > 0) : this.found(this.recordings, station.clock)}`
  }

  private noneYet(isSetUp: boolean) {
    return html`<p class="soft">${recordingTexts.noneYet}</p>
      <div class="head">${this.bringing()}${isSetUp ? nothing : html`<a class="button main" href="#/set-up">${everywhere.setUpInstrument}</a>`}</div>`
  }
  private bringing() {
    return html`<label>${recordingTexts.bring}<input type="file" accept=${endOfName} @change=${(event: Event) => this.bring(event.target as HTMLInputElement)} /></label>
      <p role="status">${this.told.join(' ')}</p>`
  }

  private found(recordings: readonly RecordingSummary[], zone: Zone) {
    const wanted = this.search.trim().toLowerCase()
    const shown = recordings.filter((one) =>
      [
        one.name,
        one.id,
        one.station,
        recordingTexts.recordingStateWords[one.state],
        one.startMs === null ? '' : dayTimeText(one.startMs, zone),
      ].some((text) => text.toLowerCase().includes(wanted)),
    )
    const pair = this.chosen.flatMap((id) => recordings.find((one) => one.id === id) ?? [])
    const [first, second] = pair
    const tested = recordings
      .filter(({ id }) => this.tested.includes(id))
      .sort((one, other) => (one.startMs ?? 0) - (other.startMs ?? 0))
    return html`<div class="head"><label>${everywhere.search}<input type="search" .value=${this.search} @input=${(
      event: Event,
    ) => {
      this.search = (event.target as HTMLInputElement).value
    }} placeholder=${recordingTexts.searchHint} /></label>
        ${this.bringing()}</div>
      ${first && second ? html`<two-runs .runs=${[first, second]} .nowMs=${this.session.now()}></two-runs>` : pair.length === 1 ? html`<p class="soft">${recordingTexts.secondNeeded}</p>` : nothing}
      ${tested.length ? html`<test-of-runs .runs=${tested}></test-of-runs>` : nothing}
      ${shown.length === 0 ? html`<p class="soft">${recordingTexts.noneFits(this.search, wholeText(recordings.length))}</p>` : html`<ul>${shown.map((one) => this.line(one, zone))}</ul>`}`
  }

  private line(one: RecordingSummary, zone: Zone) {
    const length = one.startMs === null || one.endMs === null ? null : one.endMs - one.startMs
    const canOpen = one.state !== 'damaged'
    const isShown = this.session.route.replay === one.id
    const checked = this.verified.get(one.id)
    return html`<li><div><h2>${nameOf(one)}</h2><p class="state">${mark(one.state === 'damaged' ? 'alarm' : 'good')} ${recordingTexts.recordingStateWords[one.state]}${one.detail ? `: ${one.detail}` : ''}</p>
        ${one.invented ? html`<span class="plate">${everywhere.inventedData}</span>` : nothing} ${one.speed !== 1 ? html`<span class="plate">${everywhere.clockAtSpeed(numberText(one.speed, 0))}</span>` : nothing}</div>
      <div><dl><div><dt>${recordingTexts.from}</dt><dd>${one.startMs === null ? '–' : dayTimeText(one.startMs, zone)}</dd></div><div><dt>${recordingTexts.length}</dt><dd>${length === null ? (one.state === 'running' ? recordingTexts.goesOn : '–') : durationText(length)}</dd></div>
          <div><dt>${recordingTexts.lines}</dt><dd>${wholeText(one.lines)}</dd></div><div><dt>${recordingTexts.size}</dt><dd>${bytesText(one.bytes)}</dd></div><div><dt>${recordingTexts.seals}</dt><dd>${wholeText(one.seals)}</dd></div></dl>
        ${checked ? this.verification(checked) : nothing}</div>
      <div class="row">${canOpen ? html`<a class="button main" href=${routeHash({ ...plainRoute, replay: one.id })} aria-label=${recordingTexts.replayOf(nameOf(one))}>${isShown ? recordingTexts.beingReplayed : everywhere.replay}</a>` : nothing}
        <button @click=${() => this.verify(one.id)} aria-label=${recordingTexts.verifyOf(nameOf(one))}>${checked?.state === 'asking' ? recordingTexts.verifyingShort : recordingTexts.verify}</button>
        ${canOpen ? (['csv', 'xlsx'] as const).map((format) => html`<a class="button" href=${exportPath(one.id, format)} target="_blank" aria-label=${recordingTexts.exportOf(nameOf(one), format.toUpperCase())}>${format.toUpperCase()}</a>`) : nothing}
        ${canOpen ? html`<a class="button" href=${recordingFilePath(one.id)} target="_blank" aria-label=${recordingTexts.keepCopyOf(nameOf(one))}>${recordingTexts.keepCopy}</a><label class="pick"><input type="checkbox" .checked=${this.chosen.includes(one.id)} @change=${(event: Event) => this.choose(one.id, (event.target as HTMLInputElement).checked)} aria-label=${recordingTexts.onChartOf(nameOf(one))} />${recordingTexts.onChart}</label>` : nothing}
        ${one.state === 'ended' ? html`<label class="pick"><input type="checkbox" .checked=${this.tested.includes(one.id)} @change=${(event: Event) => this.takeIntoTest(one.id, (event.target as HTMLInputElement).checked)} aria-label=${testTexts.pickOf(nameOf(one))} />${testTexts.pick}</label>` : nothing}
        ${canOpen && one.state !== 'standby' ? html`<button aria-expanded=${this.tried === one.id} @click=${() => this.try(one.id)} aria-label=${compareOf(nameOf(one))}>${compare}</button>` : nothing}
        ${one.state === 'running' ? nothing : html`<button @click=${() => this.askRemoval(one)} aria-label=${recordingTexts.removeOf(nameOf(one))}>${recordingTexts.remove}</button>`}</div>
      ${this.tried === one.id ? html`<settings-comparison class="whole" recording=${one.id} .zone=${zone}></settings-comparison>` : nothing}</li>`
  }

  private verification(found: Verification) {
    if (found.state === 'asking') return html`<p role="status">${recordingTexts.verifying}</p>`
    if (found.state === 'failed') return errorLine(found.text)
    const { answer } = found
    const part = (name: string, ok: boolean, faults: readonly string[]) =>
      html`<p class="state">${mark(ok ? 'good' : 'alarm')} ${name}: ${ok ? recordingTexts.sound : faults.slice(0, 3).join('; ') || recordingTexts.notSound}</p>`
    return html`<div role="status">${part(recordingTexts.seals, answer.seals.ok, answer.seals.faults)}${part(recordingTexts.order, answer.order.ok, answer.order.faults)}${part(recordingTexts.recomputed(answer.engine, wholeText(answer.recomputation.blocks)), answer.recomputation.ok, answer.recomputation.faults)}${answer.recomputation.notes.map((note) => html`<p class="soft small">${note}</p>`)}</div>`
  }
}
customElements.define('recordings-view', RecordingsView)
