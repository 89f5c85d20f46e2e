import { html, nothing } from 'lit'
import { controlRun } from '../answers.ts'
import { durationText } from '../format/durations.ts'
import { fieldOfInstant, instantOfField } from '../format/times.ts'
import type { Station } from '../store.ts'
import type { Signed } from './signed-dialog.ts'

export const endRunSigning = (station: Station): Signed => ({
  title: `End ${station.run.name || 'this run'}?`,
  noteLabel: 'Note (may stay empty)',
  noteNeeded: false,
  confirm: 'End the run',
  about: html`<p>${durationText(station.run.elapsedMs)} on the clock, ${durationText(station.run.countedMs)} counted. The running blocks end here, with the reason that the run ended within them. It cannot be taken back.</p>`,
  send: (by, note) => controlRun({ do: 'end', by, note }),
})
export const cancelRunSigning = (): Signed => ({
  title: 'Cancel the planned run?',
  noteLabel: 'Note (may stay empty)',
  noteNeeded: false,
  confirm: 'Cancel it',
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
    title: isOn ? 'Plan the next run' : 'Start a run',
    noteLabel: 'What the run is called',
    noteNeeded: false,
    isOneLine: true,
    confirm: isOn ? 'Plan it' : 'Start',
    about: isOn
      ? html`<p class="soft">It begins at its time, and not before the present run has ended. A stop of the station forgets the plan.</p>`
      : nothing,
    more: html`<label>Start<select name="when"><option value="now">${isOn ? 'as soon as this run has ended' : 'at once'}</option><option value="at">at a time</option></select></label>
      <label class="at-a-time">Start time, ${clock.zone}<input type="datetime-local" name="at" value=${soon} /></label>
      <label>End<select name="end"><option value="hand">by hand</option><option value="counted">after counted minutes</option><option value="minutes">after minutes on the clock</option></select></label>
      <label class="after-minutes">Minutes<input name="minutes" inputmode="decimal" value="480" /></label>
      <label>How many runs, one after the other<input name="count" inputmode="numeric" value="1" /></label>`,
    send: async (by, name, fields) => {
      const at =
        fields.get('when') === 'at'
          ? instantOfField(String(fields.get('at')), clock)
          : isOn
            ? new Date(nowMs).toISOString()
            : undefined
      if (at === null) return { ok: false, errors: ['The start time is not a time.'] }
      const minutes = number(fields, 'minutes')
      const rule = fields.get('end')
      if (rule !== 'hand' && !(minutes > 0)) return { ok: false, errors: ['Minutes: a number above zero is needed.'] }
      const end =
        rule === 'counted'
          ? { afterCountedMinutes: minutes }
          : rule === 'minutes'
            ? { afterMinutes: minutes }
            : undefined
      const count = number(fields, 'count')
      if (!Number.isInteger(count) || count < 1 || count > 50)
        return { ok: false, errors: ['How many runs: a whole number from 1 to 50.'] }
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
