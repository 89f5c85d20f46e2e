import { html } from 'lit'
import type { AlarmStanding } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import { act } from '../answers.ts'
import { dayTimeText } from '../format/times.ts'
import type { Station } from '../store.ts'
import * as alarmTexts from '../texts/alarms.ts'
import { mayStayEmpty } from '../texts/dialogs.ts'
import { alarmHeadline } from './alarm-order.ts'
import type { Signed } from './signed-dialog.ts'

/** What a person can do to an alarm. */
export type AlarmAct = 'acknowledge' | 'shelve' | 'unshelve' | 'reset'

/** What is done about an alarm, with the safe steps and what can hurt beside it. */
export function alarmSigning(station: Station, alarm: AlarmStanding, what: AlarmAct): Signed {
  const title = alarmHeadline(alarm, station.channels)
  switch (what) {
    case 'acknowledge':
      return {
        title,
        noteLabel: alarmTexts.acknowledgeNote,
        noteNeeded: true,
        confirm: alarmTexts.acknowledge,
        ready: alarmTexts.readyAcknowledgements,
        readySends: true,
        about: whatToDo(station, alarm),
        send: (by, note) => act({ do: 'acknowledge', by, alarm: alarm.alarm, note }),
      }
    case 'shelve':
      return {
        title: alarmTexts.shelveTitle(title),
        noteLabel: alarmTexts.shelveNote,
        noteNeeded: true,
        confirm: alarmTexts.shelve,
        ready: alarmTexts.readyShelvings,
        readySends: true,
        about: html`<p class="soft">${alarmTexts.shelveWarning}</p>`,
        more: html`<label>${alarmTexts.forHowLong}<select name="minutes">${alarmTexts.shelfMinutes.map(([minutes, word]) => html`<option value=${minutes}>${word}</option>`)}</select></label>`,
        send: (by, note, fields) =>
          act({ do: 'shelve', by, alarm: alarm.alarm, minutes: Number(fields.get('minutes')), note }),
      }
    case 'unshelve':
      return {
        title: alarmTexts.unshelveTitle(title),
        noteLabel: mayStayEmpty,
        noteNeeded: false,
        confirm: alarmTexts.unshelve,
        about: html`<p class="soft">${alarmTexts.unshelveAbout(alarm.by, alarm.untilMs === null ? null : dayTimeText(alarm.untilMs, station.clock))}</p>`,
        send: (by, note) => act({ do: 'unshelve', by, alarm: alarm.alarm, note }),
      }
    case 'reset':
      return {
        title: alarmTexts.resetTitle(title),
        noteLabel: alarmTexts.resetNote,
        noteNeeded: false,
        confirm: alarmTexts.reset,
        about: html`<p class="soft">${alarmTexts.resetAbout(alarm.by)}</p>${whatToDo(station, alarm)}`,
        send: (by, note) => act({ do: 'reset', by, alarm: alarm.alarm, note }),
      }
  }
}

/** What can hurt stands whole and before the steps: those can be scrolled. */
function whatToDo(station: Station, alarm: AlarmStanding) {
  const { meaning, steps, cautions } = alarmText(alarm)
  return html`<p class="soft">${alarmTexts.since(dayTimeText(alarm.raisedMs, station.clock), !alarm.active, meaning)}</p>
      <ul class="cautions" aria-label=${alarmTexts.whatCanHurt}>${cautions.map((caution) => html`<li>${caution}</li>`)}</ul>
      <div role="region" aria-label=${alarmTexts.whatToDo} tabindex="0" class="steps"><ol class="todo">${steps.map((step) => html`<li>${step}</li>`)}</ol></div>`
}
