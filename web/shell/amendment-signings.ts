import { html } from 'lit'
import type { AmendAnswer } from '../../protocols/live/amend.ts'
import { amend } from '../amendments.ts'
import { fieldOfInstant, instantOfField } from '../format/times.ts'
import type { Station } from '../store.ts'
import * as amendmentTexts from '../texts/amendments.ts'
import { to as toWord } from '../texts/dialogs.ts'
import { all, channel, fromIn } from '../texts/everywhere.ts'
import { instrument } from '../texts/links.ts'
import type { Signed } from './signed-dialog.ts'

/** A stretch that is offered for exclusion, ms. */
export interface OfferedStretch {
  readonly fromMs: number
  readonly toMs: number
}

const minute = 60_000

/** Takes a stretch out of the averages. `recording` null: the run that goes on; `knownToMs`: the newest moment of it. */
export function exclusionSigning(
  station: Station,
  recording: string | null,
  offered: OfferedStretch,
  knownToMs: number,
  renew: (done: AmendAnswer) => void,
): Signed {
  const { clock, channels, streams } = station
  // A field for date and time knows minutes only: the stretch is widened to whole ones.
  const from = fieldOfInstant(Math.floor(offered.fromMs / minute) * minute, clock)
  const toMs = Math.min(Math.ceil(offered.toMs / minute), Math.floor(knownToMs / minute)) * minute
  const to = fieldOfInstant(toMs, clock)
  return {
    title: amendmentTexts.exclude,
    about: html`<p class="soft">${amendmentTexts.excludeAbout}</p>`,
    noteLabel: amendmentTexts.excludeReason,
    noteNeeded: true,
    confirm: amendmentTexts.excludeIt,
    ready: amendmentTexts.readyReasons,
    more: html`<div class="row"><label>${fromIn(clock.zone)}<input type="datetime-local" name="from" value=${from} /></label>
      <label>${toWord}<input type="datetime-local" name="to" value=${to} /></label></div>
      ${streams.length > 1 ? html`<label>${instrument}<select name="stream"><option value="">${all}</option>${streams.map(({ id }) => html`<option>${id}</option>`)}</select></label>` : ''}
      <label>${channel}<select name="channel"><option value="">${all}</option>${channels.map(({ id, name }) => html`<option value=${id}>${name}</option>`)}</select></label>`,
    send: async (by, reason, fields) => {
      const [fromText, toText] = [
        instantOfField(String(fields.get('from')), clock),
        instantOfField(String(fields.get('to')), clock),
      ]
      if (fromText === null || toText === null) return { ok: false, errors: [amendmentTexts.stretchWrong] }
      const chosen = (name: string): string | null => String(fields.get(name) ?? '') || null
      return amend(
        recording,
        {
          do: 'exclude',
          by,
          reason,
          fromMs: Date.parse(fromText),
          toMs: Date.parse(toText),
          stream: chosen('stream'),
          channel: chosen('channel'),
        },
        renew,
      )
    },
  }
}
