import { html } from 'lit'
import type { AmendAnswer } from '../../../protocols/live/amend.ts'
import { amend } from '../../amendments.ts'
import type { Signed } from '../../shell/signed-dialog.ts'
import type { Station } from '../../store.ts'
import { confirm, reason, withdrawalWords } from '../../texts/amendments.ts'
import { type Amending, amendmentText, isCheck } from './amendment-text.ts'

/** Takes an exclusion or a check back. `recording` null: the run that goes on. */
export function withdrawalSigning(
  { channels, clock }: Station,
  recording: string | null,
  told: Amending,
  renew: (done: AmendAnswer) => void,
): Signed {
  const { title, meaning } = withdrawalWords[isCheck(told) ? 'check' : 'exclusion']
  const { name, says } = amendmentText(told, channels, clock)
  return {
    title,
    about: html`<p>${name}, ${says} <span class="soft">(${told.by})</span></p><p class="soft">${meaning}</p>`,
    noteLabel: reason,
    noteNeeded: true,
    confirm,
    send: (by, why) => amend(recording, { do: 'withdraw', by, id: told.id, reason: why }, renew),
  }
}
