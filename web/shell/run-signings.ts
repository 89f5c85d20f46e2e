import { html, nothing } from 'lit'
import { controlRun } from '../answers.ts'
import { durationText } from '../format/durations.ts'
import { fieldOfInstant, instantOfField } from '../format/times.ts'
import type { Station } from '../store.ts'
import { mayStayEmpty } from '../texts/dialogs.ts'
import * as runTexts from '../texts/run-dialogs.ts'
import type { Signed } from './signed-dialog.ts'

export const endRunSigning = (station: Station): Signed => ({
  title: runTexts.endTitle(station.run.name || runTexts.thisRun),
  noteLabel: mayStayEmpty,
  noteNeeded: false,
  confirm: runTexts.end,
  about: html`<p>${runTexts.endAbout(durationText(station.run.elapsedMs), durationText(station.run.countedMs))}</p>`,
  send: (by, note) => controlRun({ do: 'end', by, note }),
})
export const cancelRunSigning = (): Signed => ({
  title: runTexts.cancelTitle,
  noteLabel: mayStayEmpty,
  noteNeeded: false,
  confirm: runTexts.cancelIt,
  about: nothing,
  send: (by) => controlRun({ do: 'cancel-planned', by }),
})

/** Starting at once or at a time; ending by hand, after counted minutes, or at a time; several in sequence. */
export function startRunSigning(station: Station, nowMs: number): Signed {
  const { clock } = station
  const number = (fields: FormData, name: string) => Number(String(fields.get(name) ?? '').replace(',', '.'))
  const isOn = station.run.state === 'running' || station.run.state === 'suspended'
  const soon = fieldOfInstant(nowMs + 600_000, clock)
  return {
    title: isOn ? runTexts.planTitle : runTexts.startTitle,
    noteLabel: runTexts.name,
    noteNeeded: false,
    isOneLine: true,
    confirm: isOn ? runTexts.planIt : runTexts.start,
    about: isOn ? html`<p class="soft">${runTexts.planAbout}</p>` : nothing,
    more: html`<label>${runTexts.whenStart}<select name="when"><option value="now">${isOn ? runTexts.afterThisRun : runTexts.atOnce}</option><option value="at">${runTexts.atTime}</option></select></label>
      <label class="at-a-time">${runTexts.startTime(clock.zone)}<input type="datetime-local" name="at" value=${soon} /></label>
      <label>${runTexts.whenEnd}<select name="end"><option value="hand">${runTexts.byHand}</option><option value="counted">${runTexts.afterCounted}</option><option value="minutes">${runTexts.afterClock}</option></select></label>
      <label class="after-minutes">${runTexts.minutes}<input name="minutes" inputmode="decimal" value="480" /></label>
      <label>${runTexts.howMany}<input name="count" inputmode="numeric" value="1" /></label>`,
    send: async (by, name, fields) => {
      const at =
        fields.get('when') === 'at'
          ? instantOfField(String(fields.get('at')), clock)
          : isOn
            ? new Date(nowMs).toISOString()
            : undefined
      if (at === null) return { ok: false, errors: [runTexts.startWrong] }
      const minutes = number(fields, 'minutes')
      const rule = fields.get('end')
      if (rule !== 'hand' && !(minutes > 0)) return { ok: false, errors: [runTexts.minutesWrong] }
      const end =
        rule === 'counted'
          ? { afterCountedMinutes: minutes }
          : rule === 'minutes'
            ? { afterMinutes: minutes }
            : undefined
      const count = number(fields, 'count')
      if (!Number.isInteger(count) || count < 1 || count > 50) return { ok: false, errors: [runTexts.howManyWrong] }
      return controlRun({
        do: 'start',
        by,
        ...(name ? { name: name.slice(0, 60) } : {}),
        ...(at ? { at } : {}),
        ...(end ? { end } : {}),
        count,
        pauseMinutes: 0,
      })
    },
  }
}
