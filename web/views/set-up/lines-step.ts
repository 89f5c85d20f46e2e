import { html, nothing } from 'lit'
import type { PreviewAnswer, PreviewLineMessage } from '../../../protocols/live/set-up.ts'
import { numberText, wholeText } from '../../format/numbers.ts'
import { mark } from '../../parts/marks.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { errorList } from './fields.ts'
import type { SetUpWork } from './work.ts'

/** What arrives, and what the profile makes of it: each raw line beside its values, or why it is refused. */
export function linesStep(work: SetUpWork) {
  const { heard, preview, proposal, profile } = work
  if (!heard) return html`<p class="soft">${setUpTexts.linesToCome}</p>`
  const link = setUpTexts.linkWords[heard.link]
  const detail = heard.detail && heard.link !== 'open' && heard.detail !== link ? `: ${heard.detail}` : ''
  const every = heard.everySeconds === null ? null : numberText(heard.everySeconds, heard.everySeconds < 10 ? 1 : 0)
  return html`<p role="status" class="said">${mark(heard.link === 'open' ? 'good' : heard.link === 'closed' ? 'off' : 'caution')}
      <span>${heard.own ? setUpTexts.ownLines : ''}${setUpTexts.heard(`${link}${detail}`, wholeText(heard.lines), every)}
      ${heard.link === 'open' && heard.lines === 0 ? setUpTexts.nothingCame : nothing}</span></p>
    ${proposal && !proposal.ok ? noForm(proposal) : nothing}
    ${errorList((preview?.faults ?? []).map(({ path, message }) => `${path}: ${message}`))}
    ${profile && preview && preview.faults.length === 0 && heard.lines > 0 ? summary(work) : nothing}
    <div class="lines" role="region" aria-label=${setUpTexts.linesRead} tabindex="0">
      ${profile && preview && preview.shown.length > 0 ? html`<ol>${preview.shown.toReversed().map((line) => previewed(line, preview.refusalWords))}</ol>` : html`<ol>${heard.recent.toReversed().map(({ text }) => html`<li><code>${text}</code></li>`)}</ol>`}</div>
    <div class="row"><button ?disabled=${heard.lines === 0} @click=${() => work.propose()}>${profile ? setUpTexts.proposeAnew : setUpTexts.propose}</button>
      ${profile ? nothing : html`<span class="soft small">${setUpTexts.proposedByItself}</span>`}</div>`
}

function summary({ preview }: SetUpWork) {
  if (!preview) return nothing
  const refused = Object.entries(preview.refused).map(
    ([reason, count]) => `${preview.refusalWords[reason]} (${wholeText(count)})`,
  )
  const counted = preview.lines - preview.harmless
  return html`<p class="said">${mark(preview.read === counted ? 'good' : preview.read * 10 >= counted * 9 ? 'caution' : 'alarm')}
    <span>${setUpTexts.readOf(wholeText(preview.read), wholeText(counted), refused.join(', '))}</span></p>`
}

const previewed = (
  { text, read }: PreviewLineMessage,
  words: PreviewAnswer['refusalWords'],
) => html`<li><code>${text}</code>
    ${
      read.ok
        ? html`<span class="values">${
            read.timeMs === null
              ? nothing
              : html`<span><b>${setUpTexts.time}</b> ${new Date(read.timeMs)
                  .toISOString()
                  .replace('T', ' ')
                  .replace(/\.?0*Z$/, '')} UTC</span>`
          }
        ${read.values.filter(({ why }) => why !== 'absent').map(({ field, value, why }) => (why === 'missing' && read.status.length > 0 && value === null && isStatusField(field, read.status) ? nothing : html`<span><b>${field}</b> ${value ?? setUpTexts.whyWords[why ?? 'missing']}</span>`))}
        ${read.status.map(({ token, tells }) => html`<span class=${tells ? '' : 'strange'}><b>${token}</b> → ${tells ?? setUpTexts.notKnown}</span>`)}</span>`
        : html`<span class="values refused">${mark('caution')} <span>${setUpTexts.notRead(`${words[read.reason]}${read.detail ? `, ${read.detail}` : ''}`)}</span></span>`
    }</li>`

/** A status field holds a word, not a number: the word stands beside it. */
const isStatusField = (field: string, status: readonly { readonly token: string }[]): boolean =>
  status.length > 0 && /^(?:state|status|mode|st|faults?|phase|column-\d+|f|s)$/.test(field)

function noForm(proposal: {
  readonly tried: readonly { readonly form: string; readonly why: string }[]
  readonly kinds: readonly { readonly word: string; readonly count: number }[]
}) {
  return html`<div class="errors" role="alert"><p>${setUpTexts.noForm(proposal.kinds.map(({ word }) => word).join(', '))}</p>
    <details><summary>${setUpTexts.whatWasTried}</summary><ul>${proposal.tried.map(({ form, why }) => html`<li>${form}: ${why}</li>`)}</ul></details></div>`
}
