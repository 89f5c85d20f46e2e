import { css, html, LitElement, nothing } from 'lit'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { askLogbook } from '../../answers.ts'
import { durationText } from '../../format/durations.ts'
import { dayText, timeText, type Zone } from '../../format/times.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import type { Session } from '../../session.ts'
import type { SignedDialog } from '../../shell/signed-dialog.ts'
import { shared } from '../../styles/shared.ts'
import { entryKindWords } from '../../texts.ts'
import './exclusions-list.ts'

const groups = [
  ['all', 'All'],
  ['note', 'Notes'],
  ['alarm', 'Alarms'],
  ['event', 'Events'],
] as const
type Group = (typeof groups)[number][0]
const pageLength = 200
const fits = (entry: LogbookEntry, group: Group) =>
  group === 'all' || (group === 'event' ? entry.kind !== 'note' && entry.kind !== 'alarm' : entry.kind === group)

/** Notes, alarms and events, newest first. */
export class LogbookView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    older: { state: true },
    error: { state: true },
    group: { state: true },
    search: { state: true },
    most: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; max-width: 1100px; }
    .filters { display: flex; flex-wrap: wrap; gap: 12px 20px; align-items: end; }
    .room { flex: 1; }
    ol { display: grid; }
    li { display: grid; grid-template-columns: 175px 90px minmax(0, 1fr); gap: 2px 16px; padding: 10px 0; border-top: 1px solid var(--line); align-items: center; }
    .kind { display: inline-flex; gap: 6px; align-items: center; color: var(--ink-soft); }
    .text { overflow-wrap: anywhere; }
    .note .text { font-weight: 500; }
    .day { display: block; padding: 18px 0 6px; font-weight: 600; border: 0; }
    @media (max-width: 820px) { li { grid-template-columns: auto 1fr; } .text { grid-column: 1 / -1; } .note-button { width: 100%; } }
  `,
  ]
  declare session: Session
  declare tick: number
  declare older: readonly LogbookEntry[]
  declare error: string
  declare group: Group
  declare search: string
  declare most: number
  private askedFor: string | null = null
  constructor() {
    super()
    this.older = []
    this.error = ''
    this.group = 'all'
    this.search = ''
    this.most = pageLength
  }

  private async ask(recording: string | null, key: string): Promise<void> {
    if (key === this.askedFor) return
    this.askedFor = key
    const answer = await askLogbook(recording)
    if (key !== this.askedFor) return
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.older = answer.value.entries
  }

  override render() {
    const { station, trendBreaks } = this.session.state
    if (!station) return html`<p class="soft">Waiting for the station’s first word …</p>`
    const { replay } = this.session.route
    // A new snapshot may have skipped entries: what is older is asked for again.
    void this.ask(replay, `${replay}/${station.run.recording}/${replay === null ? trendBreaks : 0}`)
    const nowMs = this.session.now()
    const byId = new Map([...this.older, ...station.logbook].map((entry) => [entry.id, entry]))
    const search = this.search.trim().toLowerCase()
    const entries = [...byId.values()]
      .filter(
        (entry) =>
          entry.atMs <= nowMs + 60_000 &&
          fits(entry, this.group) &&
          (!search || `${entry.text} ${entry.by ?? ''}`.toLowerCase().includes(search)),
      )
      .sort((one, other) => other.atMs - one.atMs)
    let day = ''
    return html`<h1 class="unseen">Logbook</h1>
      <div class="filters"><div class="joined" role="group" aria-label="What to show">${groups.map(
        ([id, word]) =>
          html`<button aria-pressed=${this.group === id} @click=${() => {
            this.group = id
          }}>${word}</button>`,
      )}</div>
        <label>Search<input type="search" @input=${(event: Event) => {
          this.search = (event.target as HTMLInputElement).value
        }} /></label><span class="room"></span>
        <button class="gloves" @click=${() => tell(this, 'ask-exclusion', { fromMs: nowMs - 600_000, toMs: nowMs })}>Exclude a stretch</button>
        <button class="gloves" @click=${() => this.tellCheck()}>Tell a check</button>
        ${station.mode === 'live' ? html`<button class="main gloves note-button" @click=${() => tell(this, 'ask-note')}>Write a note</button>` : nothing}</div>
      <exclusions-list .exclusions=${station.exclusions ?? []} .zone=${station.clock}></exclusions-list>
      ${this.error ? html`<p class="errors" role="alert">${this.error}</p>` : nothing}
      ${
        entries.length
          ? html`<ol>${entries.slice(0, this.most).map((entry) => {
              const today = dayText(entry.atMs, station.clock)
              const heading = today === day ? nothing : html`<li class="day">${today}</li>`
              day = today
              return html`${heading}${this.line(entry, station.clock)}`
            })}</ol>`
          : html`<p class="soft">${byId.size ? 'Nothing fits this choice.' : 'Nothing has happened yet. Notes, alarms and events will stand here.'}</p>`
      }
      ${
        entries.length > this.most
          ? html`<button @click=${() => {
              this.most += pageLength
            }}>Show more: ${entries.length - this.most} earlier ones</button>`
          : nothing
      }<signed-dialog></signed-dialog>`
  }

  private async tellCheck(): Promise<void> {
    const { state, route } = this.session
    if (!state.station) return
    const { checkSigning } = await import('./check-signing.ts')
    const newestMs = state.station.playback?.endMs ?? this.session.now()
    await this.renderRoot.querySelector<SignedDialog>('signed-dialog')?.open(
      checkSigning(state.station, route.replay, newestMs, () => {
        this.askedFor = null
        this.session.amended()
      }),
    )
  }

  private line(entry: LogbookEntry, zone: Zone) {
    const late =
      entry.savedMs !== null && entry.savedMs - entry.atMs > 60_000
        ? ` · saved ${durationText(entry.savedMs - entry.atMs)} later`
        : ''
    const sign =
      entry.severity === 'abnormal' ? mark('alarm') : entry.severity === 'notable' ? mark('caution') : nothing
    return html`<li class=${entry.kind}><span>${timeText(entry.atMs, zone)}</span><span class="kind">${sign}${entryKindWords[entry.kind]}</span>
      <span class="text">${entry.text}${entry.by || late ? html` <span class="soft small">${entry.by ?? ''}${late}</span>` : nothing}</span></li>`
  }
}
customElements.define('logbook-view', LogbookView)
