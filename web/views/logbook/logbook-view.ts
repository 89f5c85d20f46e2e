import { css, html, LitElement, nothing } from 'lit'
import type { AmendAnswer } from '../../../protocols/live/amend.ts'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { dayText, timeText } from '../../format/times.ts'
import { entryText } from '../../parts/entry-text.ts'
import { errorLine } from '../../parts/errors.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import '../../parts/no-instrument.ts'
import { type EntryGroup, entryGroups } from '../../picks.ts'
import type { Session } from '../../session.ts'
import type { HandWish } from '../../shell/hands.ts'
import type { Signed } from '../../shell/signed-dialog.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import { exclude, tellCheck } from '../../texts/amendments.ts'
import * as everywhere from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import * as logbookTexts from '../../texts/logbook.ts'
import { transferCheck } from '../../texts/runs.ts'
import { type Amending, amendedText } from './amendment-text.ts'
import { checkSigning } from './check-signing.ts'
import './amendments-list.ts'
import { correctionsOf, LogbookPast } from './logbook-past.ts'
import { ToldAmendments } from './told-amendments.ts'
import { withdrawalSigning } from './withdrawal-signing.ts'

const pageLength = 200
const fits = (entry: LogbookEntry, group: EntryGroup) =>
  group === 'all' || (group === 'event' ? entry.kind !== 'note' && entry.kind !== 'alarm' : entry.kind === group)

/** Notes, alarms and events, newest first. A note that was corrected keeps its words, struck through, with the correction beside them. */
export class LogbookView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
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
    li { display: grid; grid-template-columns: 175px 100px minmax(0, 1fr) auto; gap: 2px 16px; padding: 10px 0; border-top: 1px solid var(--line); align-items: center; }
    .kind { display: inline-flex; gap: 6px; align-items: center; color: var(--ink-soft); }
    .text { overflow-wrap: anywhere; }
    .ready { display: flex; flex-wrap: wrap; gap: 8px; }
    .ready button { font-weight: 400; padding: 0 14px; }
    .corrected { display: block; }
    .note .text { font-weight: 500; }
    .day { display: block; padding: 18px 0 6px; font-weight: 600; border: 0; }
    @media (max-width: 820px) { li { grid-template-columns: auto 1fr; } .text { grid-column: 1 / -1; } .correct { justify-self: start; } .ready button { flex: 1 1 40%; } .note-button { width: 100%; } }
  `,
  ]
  declare session: Session
  declare tick: number
  declare search: string
  declare most: number
  private readonly past = new LogbookPast(() => this.requestUpdate())
  private readonly told = new ToldAmendments(() => this.requestUpdate())
  constructor() {
    super()
    this.search = ''
    this.most = pageLength
  }

  override render() {
    const { station } = this.session.state
    const group = this.session.route.entries
    if (!station) return html`<p class="soft">${everywhere.waitingForStation}</p>`
    if (!station.streams.length) return html`<no-instrument view="logbook"></no-instrument>`
    this.past.ask(this.session, group)
    this.told.ask(this.session)
    const nowMs = this.session.now()
    const all = this.past.entries(station, nowMs)
    const corrections = correctionsOf(all)
    const search = this.search.trim().toLowerCase()
    const entries = all.filter(
      (entry) =>
        fits(entry, group) &&
        (!search || `${entryText(entry, station)} ${entry.by ?? ''}`.toLowerCase().includes(search)),
    )
    // A page ahead of what is shown; a search goes on until it fills what is shown, or has seen all.
    if (entries.length <= this.most) this.past.more(this.session)
    const hidden = Math.max(0, entries.length - this.most) + (search ? 0 : this.past.left)
    const isLive = station.mode === 'live'
    let day = ''
    return html`<h1 class="unseen">${viewWords.logbook}</h1>
      <div class="filters"><div class="joined" role="group" aria-label=${logbookTexts.whatToShow}>${entryGroups.map((id) => html`<button aria-pressed=${group === id} @click=${() => this.session.go({ entries: id })}>${logbookTexts.groupWords[id]}</button>`)}</div>
        <label>${everywhere.search}<input type="search" @input=${(event: Event) => {
          this.search = (event.target as HTMLInputElement).value
        }} /></label><span class="room"></span>
        <button class="gloves" @click=${() => tell(this, 'ask-exclusion', { fromMs: nowMs - 600_000, toMs: nowMs })}>${exclude}</button>
        <button class="gloves" @click=${() => this.tellCheck()}>${tellCheck}</button>
        ${isLive ? html`<button class="main gloves note-button" @click=${() => this.hand({ do: 'note' })}>${logbookTexts.writeNote}</button>` : nothing}</div>
      ${isLive ? this.readyOnes() : nothing}
      ${this.amendments(station)}
      ${errorLine(this.past.error)}
      ${
        entries.length
          ? html`<ol>${entries.slice(0, this.most).map((entry) => {
              const today = dayText(entry.atMs, station.clock)
              const heading = today === day ? nothing : html`<li class="day">${today}</li>`
              day = today
              return html`${heading}${this.line(entry, station, corrections.get(entry.id) ?? [], isLive)}`
            })}</ol>`
          : html`<p class="soft">${all.length ? logbookTexts.noneFits : logbookTexts.noneYet}</p>`
      }
      ${
        hidden > 0
          ? html`<button @click=${() => {
              this.most += pageLength
            }}>${everywhere.moreEarlier(hidden)}</button>`
          : nothing
      }`
  }

  private amendments(station: Station) {
    const { known, error } = this.told
    const { lastAmended } = this.session
    return html`<p role="status" class=${lastAmended ? '' : 'unseen'}>${lastAmended ? amendedText(lastAmended) : nothing}</p>
      ${errorLine(error)}
      ${known ? html`<amendments-list .amendments=${known} .channels=${station.channels} .zone=${station.clock} .tick=${this.tick} @take-back=${(event: CustomEvent<Amending>) => this.takeBack(event.detail)}></amendments-list>` : nothing}`
  }

  private tellCheck(): void {
    const { state, route } = this.session
    if (!state.station) return
    const newestMs = state.station.playback?.endMs ?? this.session.now()
    tell<Signed>(this, 'ask-signed', checkSigning(state.station, route.replay, newestMs, this.renew))
  }
  private takeBack(told: Amending): void {
    const { state, route } = this.session
    if (!state.station) return
    tell<Signed>(this, 'ask-signed', withdrawalSigning(state.station, route.replay, told, this.renew))
  }
  private readonly renew = (done: AmendAnswer): void => this.session.amended(done)

  private hand(wish: HandWish): void {
    tell<HandWish>(this, 'hand', wish)
  }
  /** Stamped with the moment of the tap; the dialog adds the name, and what can hurt. */
  private readyOnes() {
    return html`<div class="ready" role="group" aria-label=${logbookTexts.readyOnes}>${logbookTexts.readyEntries.map(({ text }) => html`<button class="gloves" @click=${() => this.hand({ do: 'note', text })}>${text}</button>`)}
      <button class="gloves" @click=${() => this.hand({ do: 'transfer-check' })}>${transferCheck}</button></div>`
  }

  private line(entry: LogbookEntry, station: Station, corrections: readonly LogbookEntry[], isLive: boolean) {
    const zone = station.clock
    const late =
      entry.savedMs !== null && entry.savedMs - entry.atMs > 60_000
        ? logbookTexts.savedLater(durationText(entry.savedMs - entry.atMs))
        : ''
    const sign =
      entry.severity === 'abnormal' ? mark('alarm') : entry.severity === 'notable' ? mark('caution') : nothing
    return html`<li class=${entry.kind}><span>${timeText(entry.atMs, zone)}</span><span class="kind">${sign}${entry.corrects === undefined ? logbookTexts.entryKindWords[entry.kind] : logbookTexts.correction}</span>
      <span class="text">${corrections.length ? html`<s>${entry.text}</s>` : entryText(entry, station)}${entry.by || late ? html` <span class="soft small">${entry.by ?? ''}${late}</span>` : nothing}
        ${corrections.map((one) => html`<span class="corrected">${logbookTexts.corrected(timeText(one.atMs, zone), one.text)} <span class="soft small">${one.by ?? ''}</span></span>`)}</span>
      ${isLive && entry.kind === 'note' && entry.by !== null ? html`<button class="correct" aria-label=${logbookTexts.correctNoteOf(timeText(entry.atMs, zone))} @click=${() => this.hand({ do: 'correct', entry })}>${logbookTexts.correct}</button>` : nothing}</li>`
  }
}
customElements.define('logbook-view', LogbookView)
