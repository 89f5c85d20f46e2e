import { html, nothing } from 'lit'
import type { CheckAnswer } from '../../../protocols/live/set-up.ts'
import { mark } from '../../parts/marks.ts'
import * as setUpTexts from '../../texts/set-up.ts'
import { goTo } from '../../texts/settings.ts'
import { errorList } from './fields.ts'
import { pathOf } from './settings/at-path.ts'
import type { SetUpWork } from './work.ts'

const signs = { same: ' ', old: '−', new: '+', cut: '…' } as const

/** What would be written, old to new, line by line; then it is written. Nothing is written unseen. */
export function writeStep(work: SetUpWork) {
  const { check, state, written } = work
  if (!state) return nothing
  const canCheck = work.isSomethingChosen
  const isFirst = state.state === 'waiting'
  const when =
    state.state === 'running' ? setUpTexts.writesNextRun : isFirst ? setUpTexts.writesFirst : setUpTexts.writesAtOnce
  return html`<p class="small soft">${setUpTexts.fileIs(when, html`<code>${state.file}</code>`)}</p>
    <div class="row"><button class=${check || !canCheck ? '' : 'main'} ?disabled=${!canCheck} @click=${() => work.checkAll()}>${setUpTexts.showChange}</button>
      ${check && check.faults.length === 0 ? html`<button class=${check.changed || isFirst ? 'main' : ''} ?disabled=${work.isWriting || !(check.changed || isFirst)} @click=${() => work.write()}>${state.state === 'running' ? setUpTexts.writeForNext : setUpTexts.writeAndStart}</button>` : nothing}</div>
    ${errorList(work.writeErrors)}
    ${written ? html`<p role="status" class="said">${mark('good')} <span>${setUpTexts.written(written.file, written.applies === 'now')} <a class="button main" href="#/watch">${setUpTexts.watchStation}</a></span></p>` : nothing}
    ${check ? found(check, work) : nothing}`
}

/** Where something is said of: in words, and as the station file has it. */
const placeText = ({ form }: SetUpWork, path: string) => html`${form?.nameAt(pathOf(path))} <code>${path}</code>`

function found(check: CheckAnswer, work: SetUpWork) {
  return html`${
    check.faults.length > 0
      ? html`<div class="errors" role="alert"><p>${setUpTexts.kept(check.faults.length)}</p>
      <ul>${check.faults.map(({ path, message }) => html`<li>${placeText(work, path)}: ${message} ${work.form ? html`<button @click=${() => work.form?.jump(path)} aria-label=${`${goTo}: ${work.form.nameAt(pathOf(path))}`}>${goTo}</button>` : nothing}</li>`)}</ul></div>`
      : nothing
  }
    ${check.warnings.length > 0 ? html`<ul class="asks">${check.warnings.map(({ path, message }) => html`<li>${placeText(work, path)}: ${message}</li>`)}</ul>` : nothing}
    ${
      check.changed
        ? html`<div class="difference" role="region" aria-label=${setUpTexts.change} tabindex="0"><ol>${check.difference.map(({ kind, text }) => html`<li class=${kind}><span aria-hidden="true">${signs[kind]}</span><span class="unseen">${setUpTexts.spokenChange[kind]}</span><code>${text}</code></li>`)}</ol></div>`
        : html`<p class="soft">${setUpTexts.noChange}</p>`
    }`
}
