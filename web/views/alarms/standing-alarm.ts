import { css, html, LitElement, nothing } from 'lit'
import type { AlarmStanding } from '../../../protocols/live/messages.ts'
import { alarmText } from '../../../protocols/words/alarm-texts.ts'
import { durationText } from '../../format/durations.ts'
import { dayTimeText } from '../../format/times.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import { alarmHeadline, isResettable, needsHand, raisedText } from '../../shell/alarm-order.ts'
import type { HandWish } from '../../shell/hands.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import * as bannerTexts from '../../texts/alarm-banner.ts'
import * as alarmTexts from '../../texts/alarms.ts'
import { showOnTrends } from '../../texts/everywhere.ts'

/** One alarm that is not normal: its state in words, what can be done about it, and the safe steps. */
export class StandingAlarm extends LitElement {
  static override properties = {
    alarm: { attribute: false },
    station: { attribute: false },
    nowMs: { type: Number },
    firstOf: { type: Number },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: auto minmax(0, 1fr); gap: 6px 14px; border-top: 1px solid var(--line); padding: 12px 0; }
    h3 { font-size: var(--size-large); font-weight: 600; overflow-wrap: anywhere; }
    .more { grid-column: 2; display: grid; gap: 8px; }
    .plate { border: 1.5px solid var(--ink); padding: 0 8px; font-weight: 600; }
    summary { text-decoration: underline; }
    ol { list-style: decimal; padding-left: 1.6em; }
    .cautions { border-left: 6px solid var(--caution-edge); padding-left: 12px; margin-top: 8px; }
    @media (max-width: 820px) { .more { grid-column: 1 / -1; } .row button { flex: 1 1 40%; min-width: max-content; padding: 0 8px; } }
  `,
  ]
  declare alarm: AlarmStanding
  declare station: Station
  declare nowMs: number
  /** This one came first, of so many that came together; 0: nothing to say. */
  declare firstOf: number

  private button(act: Extract<HandWish, { do: 'alarm' }>['act'], word: string, isMain = false) {
    const { alarm } = this.alarm
    return html`<button class="gloves ${isMain ? 'main' : ''}" @click=${() => tell<HandWish>(this, 'hand', { do: 'alarm', act, alarm })}>${word}</button>`
  }

  override render() {
    const { alarm, station, nowMs } = this
    const zone = station.clock
    const open = needsHand(alarm)
    const { meaning, steps, cautions } = alarmText(alarm)
    const isAdvice = alarm.class === 'advice'
    const headline = alarmHeadline(alarm, station.channels)
    return html`${mark(isAdvice ? 'advice' : alarm.state === 'shelved' || alarm.state === 'suppressed' ? 'off' : alarm.priority === 'low' || !alarm.active ? 'caution' : 'alarm', 24)}
      <div><h3>${isAdvice ? bannerTexts.advice(headline) : headline}</h3>
        <p><strong>${bannerTexts.alarmStateWords[alarm.state]}</strong> · ${alarmTexts.priorityWords[alarm.priority]} · ${raisedText(alarm, dayTimeText(alarm.raisedMs, zone), nowMs)}${alarm.count > 1 ? ` · ${bannerTexts.times(alarm.count)}` : ''}${this.firstOf ? html` · <span class="plate">${bannerTexts.firstOf(this.firstOf)}</span>` : nothing}</p></div>
      <div class="more">
        ${alarm.state === 'shelved' && alarm.untilMs !== null ? html`<p>${alarmTexts.comesBack(dayTimeText(alarm.untilMs, zone), durationText(alarm.untilMs - nowMs), alarm.active)}</p>` : nothing}
        ${alarm.by ? html`<p class="soft">${alarm.by}: ${alarm.note ?? ''}</p>` : nothing}
        ${
          station.mode === 'live'
            ? html`<div class="row">${open ? this.button('acknowledge', bannerTexts.acknowledge, true) : nothing}${isResettable(alarm) ? this.button('reset', bannerTexts.reset, true) : nothing}${alarm.state === 'shelved' ? this.button('unshelve', alarmTexts.bringBack) : isAdvice || alarm.state === 'suppressed' ? nothing : this.button('shelve', bannerTexts.shelve)}
              <button class="gloves" @click=${() => tell(this, 'show-stretch', { fromMs: alarm.raisedMs - 900_000, toMs: Math.min(nowMs, alarm.raisedMs + 900_000) })}>${showOnTrends}</button></div>`
            : nothing
        }
        <details><summary>${alarmTexts.whatToDo}</summary><p class="soft">${meaning}</p><ol>${steps.map((step) => html`<li>${step}</li>`)}</ol><ul class="cautions">${cautions.map((caution) => html`<li>${caution}</li>`)}</ul></details>
      </div>`
  }
}
customElements.define('standing-alarm', StandingAlarm)
