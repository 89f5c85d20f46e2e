import { html } from 'lit'
import type { AmendAnswer } from '../../../protocols/live/amend.ts'
import { amend } from '../../amendments.ts'
import { fieldOfInstant, instantOfField } from '../../format/times.ts'
import type { Signed } from '../../shell/signed-dialog.ts'
import type { Station } from '../../store.ts'
import * as amendmentTexts from '../../texts/amendments.ts'
import { tellIt } from '../../texts/dialogs.ts'
import { channel } from '../../texts/everywhere.ts'

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
    title: amendmentTexts.tellCheck,
    about: html`<p class="soft">${amendmentTexts.checkAbout}</p>
      <p class="cautions">${amendmentTexts.checkCautions}</p>`,
    noteLabel: amendmentTexts.checkGas,
    noteNeeded: true,
    isOneLine: true,
    longest: 200,
    confirm: tellIt,
    more: html`<div class="row"><label>${channel}<select name="channel">${gases.map(({ id, name, unit }) => html`<option value=${id}>${name}, ${unit}</option>`)}</select></label>
      <label>${amendmentTexts.kind}<select name="kind"><option value="zero">${amendmentTexts.zeroGas}</option><option value="span">${amendmentTexts.spanGas}</option></select></label></div>
      <div class="row"><label>${amendmentTexts.gasHolds}<input name="expected" inputmode="decimal" autocomplete="off" value="0" /></label>
      <label>${amendmentTexts.shown}<input name="response" inputmode="decimal" autocomplete="off" /></label></div>
      <div class="row"><label>${amendmentTexts.shownDirect}<input name="direct" inputmode="decimal" autocomplete="off" /></label>
      <label>${amendmentTexts.readOffAt(clock.zone)}<input type="datetime-local" name="at" value=${fieldOfInstant(Math.floor(newestMs / 60_000) * 60_000, clock)} /></label></div>`,
    send: async (by, gas, fields) => {
      const at = instantOfField(String(fields.get('at')), clock)
      const [expected, response, direct] = ['expected', 'response', 'direct'].map((name) => numberOf(fields, name))
      const isDirectGiven = String(fields.get('direct') ?? '').trim() !== ''
      const errors = [
        ...(expected == null ? [amendmentTexts.gasHoldsWrong] : []),
        ...(response == null ? [amendmentTexts.shownWrong] : []),
        ...(isDirectGiven && direct == null ? [amendmentTexts.shownDirectWrong] : []),
        ...(at === null ? [amendmentTexts.readOffWrong] : []),
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
