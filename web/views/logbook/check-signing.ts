import { html } from 'lit'
import type { AmendAnswer } from '../../../protocols/live/amend.ts'
import { amend } from '../../amendments.ts'
import { fieldOfInstant, instantOfField } from '../../format/times.ts'
import type { Signed } from '../../shell/signed-dialog.ts'
import type { Station } from '../../store.ts'

/** A number as a person types it, decimal comma or point; null where it is none. */
function numberOf(fields: FormData, name: string): number | null {
  const text = String(fields.get(name) ?? '')
    .trim()
    .replace(',', '.')
  return text !== '' && Number.isFinite(Number(text)) ? Number(text) : null
}

/** Tells a check with zero or span gas. `recording` null: the run that goes on; `newestMs`: its newest moment. */
export function checkSigning(
  station: Station,
  recording: string | null,
  newestMs: number,
  renew: (done: AmendAnswer) => void,
): Signed {
  const { clock, channels } = station
  const gases = channels.filter(({ species, origin }) => species !== null && origin === 'measured')
  return {
    title: 'Tell a check',
    about: html`<p class="soft">A gas that is known, and what the instrument showed of it. Averages that rest on checks are formed anew, and what they were stays in the history. It can be taken back; that it was told cannot be undone.</p>
      <p class="cautions">Calibration gases can be toxic and choke: vent them outdoors, secure the cylinder, follow the site’s safety rules.</p>`,
    noteLabel: 'Gas: cylinder, certificate',
    noteNeeded: true,
    isOneLine: true,
    longest: 200,
    confirm: 'Tell it',
    more: html`<div class="row"><label>Channel<select name="channel">${gases.map(({ id, name, unit }) => html`<option value=${id}>${name}, ${unit}</option>`)}</select></label>
      <label>Kind<select name="kind"><option value="zero">Zero gas</option><option value="span">Span gas</option></select></label></div>
      <div class="row"><label>The gas holds<input name="expected" inputmode="decimal" autocomplete="off" value="0" /></label>
      <label>Shown through the whole system<input name="response" inputmode="decimal" autocomplete="off" /></label></div>
      <div class="row"><label>Shown with the gas at the analyser, if that was done<input name="direct" inputmode="decimal" autocomplete="off" /></label>
      <label>Read off at, ${clock.zone}<input type="datetime-local" name="at" value=${fieldOfInstant(Math.floor(newestMs / 60_000) * 60_000, clock)} /></label></div>`,
    send: async (by, gas, fields) => {
      const at = instantOfField(String(fields.get('at')), clock)
      const [expected, response, direct] = ['expected', 'response', 'direct'].map((name) => numberOf(fields, name))
      const isDirectGiven = String(fields.get('direct') ?? '').trim() !== ''
      const errors = [
        ...(expected == null ? ['What the gas holds: a number is needed.'] : []),
        ...(response == null ? ['What was shown: a number is needed.'] : []),
        ...(isDirectGiven && direct == null ? ['What was shown at the analyser: a number, or nothing.'] : []),
        ...(at === null ? ['Read off at: a date and a time are needed.'] : []),
      ]
      if (expected == null || response == null || at === null || errors.length > 0) return { ok: false, errors }
      return amend(
        recording,
        {
          do: 'check',
          by,
          kind: fields.get('kind') === 'span' ? 'span' : 'zero',
          channel: String(fields.get('channel')),
          performedMs: Date.parse(at),
          expected,
          response,
          direct: direct ?? null,
          gas,
        },
        renew,
      )
    },
  }
}
