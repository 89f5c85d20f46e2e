import { css, html, LitElement, nothing } from 'lit'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import { dayTimeText, timeText } from '../../format/times.ts'
import { lastHeardMs } from '../../freshness.ts'
import { entryText } from '../../parts/entry-text.ts'
import { errorLine } from '../../parts/errors.ts'
import { mark } from '../../parts/marks.ts'
import type { Session } from '../../session.ts'
import type { AlarmCall } from '../../shell/alarm-call.ts'
import { firstOut, floodCount } from '../../shell/alarm-floods.ts'
import { inOrder } from '../../shell/alarm-order.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import { asLastHeard } from '../../texts/alarm-banner.ts'
import * as alarmTexts from '../../texts/alarms.ts'
import { moreEarlier, waitingForStation } from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import { LogbookPast } from '../logbook/logbook-past.ts'
import './sound-panel.ts'
import './standing-alarm.ts'

const pageLength = 60

/** All alarms that are not normal, how this page calls, and the journal of what was raised, seen and over. */
export class AlarmsView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    call: { attribute: false },
    most: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: minmax(0, 1.5fr) minmax(0, 1fr); gap: var(--gap-large) clamp(24px, 4vw, 64px); align-items: start; min-width: 0; }
    section { display: grid; gap: 10px; min-width: 0; }
    .journal { grid-column: 1 / -1; }
    .journal li { display: grid; grid-template-columns: 230px minmax(0, 1fr); gap: 2px 16px; padding: 8px 0; border-top: 1px solid var(--line); align-items: center; overflow-wrap: anywhere; }
    .when { display: flex; gap: 8px; align-items: center; }
    .held { font-weight: 600; }
    .flood { border-left: 6px solid var(--alarm); padding-left: 12px; }
    @media (max-width: 1000px) { :host { grid-template-columns: minmax(0, 1fr); } .journal li { grid-template-columns: 1fr; } }
  `,
  ]
  declare session: Session
  declare tick: number
  declare call: AlarmCall | null
  declare most: number
  private readonly past = new LogbookPast(() => this.requestUpdate())
  constructor() {
    super()
    this.call = null
    this.most = pageLength
  }

  override render() {
    const { station } = this.session.state
    if (!station) return html`<p class="soft">${waitingForStation}</p>`
    const nowMs = this.session.now()
    this.past.ask(this.session, 'alarm')
    const journal = this.past.entries(station, nowMs).filter(({ kind }) => kind === 'alarm')
    if (journal.length <= this.most) this.past.more(this.session)
    const hidden = Math.max(0, journal.length - this.most) + this.past.left
    const flood = floodCount(station.logbook, nowMs)
    const heardMs = lastHeardMs(this.session.state, performance.now())
    return html`<h1 class="unseen">${viewWords.alarms}</h1>
      <section aria-label=${alarmTexts.notNormal}><h2>${alarmTexts.now}</h2>
        ${heardMs === null ? nothing : html`<p class="held">${asLastHeard(timeText(heardMs, station.clock))}</p>`}
        ${flood ? html`<p class="flood"><strong>${alarmTexts.flood(flood)}</strong> ${alarmTexts.floodAbout}</p>` : nothing}
        ${this.standing(station, heardMs ?? nowMs)}</section>
      ${station.mode === 'live' ? html`<section aria-label=${alarmTexts.soundAndNotification}><sound-panel .call=${this.call} .pageMs=${performance.now()}></sound-panel></section>` : nothing}
      <section class="journal" aria-label=${alarmTexts.journal}><h2>${alarmTexts.journal}</h2>
        ${errorLine(this.past.error)}
        ${journal.length ? html`<ol>${journal.slice(0, this.most).map((entry) => this.line(entry, station))}</ol>` : html`<p class="soft">${station.streams.length ? alarmTexts.noneRaised : alarmTexts.noneToRaise}</p>`}
        ${
          hidden > 0
            ? html`<button @click=${() => {
                this.most += pageLength * 4
              }}>${moreEarlier(hidden)}</button>`
            : nothing
        }</section>`
  }

  private standing(station: Station, nowMs: number) {
    const shown = inOrder(station.alarms)
    const aside = station.alarms.filter(({ state }) => state === 'shelved' || state === 'suppressed')
    const first = firstOut(station.alarms)
    if (!shown.length && !aside.length) return html`<p>${alarmTexts.nothingStands}</p>`
    return html`<div>${[...shown, ...aside].map((alarm) => html`<standing-alarm .alarm=${alarm} .station=${station} .nowMs=${nowMs} .firstOf=${first?.alarm === alarm.alarm ? first.of : 0}></standing-alarm>`)}</div>`
  }
  private line(entry: LogbookEntry, station: Station) {
    return html`<li><span class="when">${mark(entry.severity === 'abnormal' ? 'alarm' : 'good')}${dayTimeText(entry.atMs, station.clock)}</span><span>${entryText(entry, station)}${entry.by ? html` <span class="soft small">${entry.by}</span>` : nothing}</span></li>`
  }
}
customElements.define('alarms-view', AlarmsView)
