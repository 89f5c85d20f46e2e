import { css, html, LitElement, nothing } from 'lit'
import type { RecordingSummary, VerifyAnswer } from '../../../protocols/live/requests.ts'
import { askRecordings, askVerification, exportPath } from '../../answers.ts'
import { durationText } from '../../format/durations.ts'
import { bytesText, numberText, wholeText } from '../../format/numbers.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import { mark } from '../../parts/marks.ts'
import { routeHash } from '../../route.ts'
import type { Session } from '../../session.ts'
import { shared } from '../../styles/shared.ts'
import { recordingStateWords } from '../../texts.ts'
import { usualWindow } from '../../window.ts'

type Verification =
  | { readonly state: 'asking' }
  | { readonly state: 'done'; readonly answer: VerifyAnswer }
  | { readonly state: 'failed'; readonly text: string }

/** What was recorded: open it for replay, check its seals, export it. */
export class RecordingsView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    recordings: { state: true },
    error: { state: true },
    verified: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; }
    li { display: grid; grid-template-columns: minmax(220px, 1fr) minmax(0, 1.6fr) 372px; gap: 8px 28px; padding: 16px 0; border-top: 1px solid var(--line); align-items: start; }
    .state { display: flex; gap: 6px; align-items: center; color: var(--ink-soft); }
    dl { display: flex; flex-wrap: wrap; gap: 6px 28px; }
    dt { font-size: var(--size-small); color: var(--ink-soft); }
    .plate { background: var(--caution); color: var(--on-caution); border: 1px solid var(--caution-edge); padding: 0 8px; font-size: var(--size-small); font-weight: 600; }
    .row { justify-content: end; }
    @media (max-width: 1100px) { li { grid-template-columns: minmax(0, 1fr); } .row { justify-content: start; } }
  `,
  ]
  declare session: Session
  declare tick: number
  declare recordings: readonly RecordingSummary[] | null
  declare error: string
  declare verified: ReadonlyMap<string, Verification>
  private askedFor = ''
  constructor() {
    super()
    this.recordings = null
    this.error = ''
    this.verified = new Map()
  }

  private async ask(key: string): Promise<void> {
    if (key === this.askedFor) return
    this.askedFor = key
    const answer = await askRecordings()
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.recordings = answer.value.recordings
  }
  private async verify(id: string): Promise<void> {
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
    if (!station) return html`<p class="soft">Waiting for the station’s first word …</p>`
    return html`<h1 class="unseen">Recordings</h1>
      ${this.error ? html`<p class="errors" role="alert">${this.error}</p>` : nothing}
      ${this.recordings === null ? html`<p class="soft">Asking the station …</p>` : this.recordings.length === 0 ? html`<p class="soft">Nothing has been recorded yet.</p>` : html`<ul>${this.recordings.map((one) => this.line(one, station.clock))}</ul>`}`
  }

  private line(one: RecordingSummary, zone: Zone) {
    const length = one.startMs === null || one.endMs === null ? null : one.endMs - one.startMs
    const canOpen = one.state !== 'damaged'
    const isShown = this.session.route.replay === one.id
    const checked = this.verified.get(one.id)
    return html`<li><div><h2>${one.name || one.id}</h2><p class="state">${mark(one.state === 'damaged' ? 'alarm' : 'good')} ${recordingStateWords[one.state]}${one.detail ? `: ${one.detail}` : ''}</p>
        ${one.invented ? html`<span class="plate">Invented data</span>` : nothing} ${one.speed !== 1 ? html`<span class="plate">Clock at ${numberText(one.speed, 0)} × speed</span>` : nothing}</div>
      <div><dl><div><dt>from</dt><dd>${one.startMs === null ? '–' : dayTimeText(one.startMs, zone)}</dd></div><div><dt>length</dt><dd>${length === null ? (one.state === 'running' ? 'goes on' : '–') : durationText(length)}</dd></div>
          <div><dt>lines</dt><dd>${wholeText(one.lines)}</dd></div><div><dt>size</dt><dd>${bytesText(one.bytes)}</dd></div><div><dt>seals</dt><dd>${wholeText(one.seals)}</dd></div></dl>
        ${checked ? this.verification(checked) : nothing}</div>
      <div class="row">${canOpen ? html`<a class="button main" href=${routeHash({ view: 'watch', replay: one.id, window: usualWindow, far: false })} aria-label=${`Replay ${one.name || one.id}`}>${isShown ? 'Being replayed' : 'Replay'}</a>` : nothing}
        <button @click=${() => this.verify(one.id)} ?disabled=${checked?.state === 'asking'} aria-label=${`Verify ${one.name || one.id}`}>${checked?.state === 'asking' ? 'Verifying …' : 'Verify'}</button>
        ${canOpen ? (['csv', 'xlsx'] as const).map((format) => html`<a class="button" href=${exportPath(one.id, format)} download aria-label=${`Export ${one.name || one.id} as ${format.toUpperCase()}`}>${format.toUpperCase()}</a>`) : nothing}</div></li>`
  }

  private verification(found: Verification) {
    if (found.state === 'asking') return html`<p role="status">Verifying; a long recording takes its time …</p>`
    if (found.state === 'failed') return html`<p class="errors" role="alert">${found.text}</p>`
    const { answer } = found
    const part = (name: string, ok: boolean, faults: readonly string[]) =>
      html`<p class="state">${mark(ok ? 'good' : 'alarm')} ${name}: ${ok ? 'sound' : faults.slice(0, 3).join('; ') || 'not sound'}</p>`
    return html`<div role="status">${part('seals', answer.seals.ok, answer.seals.faults)}${part('order', answer.order.ok, answer.order.faults)}${part(`recomputed by engine ${answer.engine}, ${wholeText(answer.recomputation.blocks)} blocks`, answer.recomputation.ok, answer.recomputation.faults)}</div>`
  }
}
customElements.define('recordings-view', RecordingsView)
