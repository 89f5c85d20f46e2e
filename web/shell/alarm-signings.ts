import { html, nothing } from 'lit'
import type { AlarmStanding } from '../../protocols/live/messages.ts'
import { alarmText } from '../../protocols/words/alarm-texts.ts'
import { act } from '../answers.ts'
import { dayTimeText } from '../format/times.ts'
import type { Station } from '../store.ts'
import { readyAcknowledgements, readyShelvings, shelfMinutes, shelveWarning } from '../texts/alarms.ts'
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
        noteLabel: 'What you do about it',
        noteNeeded: true,
        confirm: 'Acknowledge',
        ready: readyAcknowledgements,
        readySends: true,
        about: whatToDo(station, alarm),
        send: (by, note) => act({ do: 'acknowledge', by, alarm: alarm.alarm, note }),
      }
    case 'shelve':
      return {
        title: `Shelve: ${title}`,
        noteLabel: 'Why',
        noteNeeded: true,
        confirm: 'Shelve',
        ready: readyShelvings,
        readySends: true,
        about: html`<p class="soft">${shelveWarning}</p>`,
        more: html`<label>For how long<select name="minutes">${shelfMinutes.map(([minutes, word]) => html`<option value=${minutes}>${word}</option>`)}</select></label>`,
        send: (by, note, fields) =>
          act({ do: 'shelve', by, alarm: alarm.alarm, minutes: Number(fields.get('minutes')), note }),
      }
    case 'unshelve':
      return {
        title: `Bring back: ${title}`,
        noteLabel: 'Note (may stay empty)',
        noteNeeded: false,
        confirm: 'Bring it back',
        about: html`<p class="soft">Shelved by ${alarm.by ?? 'nobody named'}${alarm.untilMs === null ? nothing : html` until ${dayTimeText(alarm.untilMs, station.clock)}`}. Where its cause stands it is raised anew at once.</p>`,
        send: (by, note) => act({ do: 'unshelve', by, alarm: alarm.alarm, note }),
      }
    case 'reset':
      return {
        title: `Reset: ${title}`,
        noteLabel: 'What was found and done',
        noteNeeded: false,
        confirm: 'Reset',
        about: html`<p class="soft">Its cause has gone, and it was acknowledged by ${alarm.by ?? 'nobody named'}. It stays latched until it is reset by hand, so that somebody looks first.</p>${whatToDo(station, alarm)}`,
        send: (by, note) => act({ do: 'reset', by, alarm: alarm.alarm, note }),
      }
  }
}

/** What can hurt stands whole and before the steps: those can be scrolled. */
function whatToDo(station: Station, alarm: AlarmStanding) {
  const { meaning, steps, cautions } = alarmText(alarm)
  return html`<p class="soft">Since ${dayTimeText(alarm.raisedMs, station.clock)}.${alarm.active ? nothing : ' It is over.'} ${meaning}</p>
      <ul class="cautions" aria-label="What can hurt">${cautions.map((caution) => html`<li>${caution}</li>`)}</ul>
      <div role="region" aria-label="What to do" tabindex="0" class="steps"><ol class="todo">${steps.map((step) => html`<li>${step}</li>`)}</ol></div>`
}
