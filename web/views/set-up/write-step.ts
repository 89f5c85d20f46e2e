import { html, nothing } from 'lit'
import type { CheckAnswer } from '../../../protocols/live/set-up.ts'
import { mark } from '../../parts/marks.ts'
import { settingTexts } from '../../texts/settings.ts'
import { errorList } from './fields.ts'
import type { SetUpWork } from './work.ts'

const signs = { same: ' ', old: '−', new: '+', cut: '…' } as const
const spoken = { same: '', old: 'old: ', new: 'new: ', cut: '' } as const

/** What would be written, old to new, line by line; then it is written. Nothing is written unseen. */
export function writeStep(work: SetUpWork) {
  const { check, state, written } = work
  if (!state) return nothing
  const canCheck = work.isSomethingChosen
  const isFirst = state.state === 'waiting'
  const when =
    state.state === 'running'
      ? 'A run is going on: it keeps the settings that it began with. What is written applies from the next run.'
      : isFirst
        ? 'The station starts at once, and with it the first run.'
        : 'No run is going on: what is written applies at once, and a run begins if the station file starts runs at once.'
  return html`<p class="small soft">${when} File: <code>${state.file}</code></p>
    <div class="row"><button class=${check || !canCheck ? '' : 'main'} ?disabled=${!canCheck} @click=${() => work.checkAll()}>Show what will be written</button>
      ${check && check.faults.length === 0 ? html`<button class=${check.changed || isFirst ? 'main' : ''} ?disabled=${work.isWriting || !(check.changed || isFirst)} @click=${() => work.write()}>${state.state === 'running' ? 'Write, for the next run' : 'Write and start'}</button>` : nothing}</div>
    ${errorList(work.writeErrors)}
    ${written ? html`<p role="status" class="said">${mark('good')} <span>Written to ${written.file}; it applies ${written.applies === 'now' ? 'now' : 'from the next run'}. <a class="button main" href="#/watch">Watch the station</a></span></p>` : nothing}
    ${check ? found(check, work) : nothing}`
}

function found(check: CheckAnswer, work: SetUpWork) {
  return html`${
    check.faults.length > 0
      ? html`<div class="errors" role="alert"><p>${check.faults.length === 1 ? 'One thing keeps' : `${check.faults.length} things keep`} this from being written. Each stands beside its field too.</p>
      <ul>${check.faults.map(({ path, message }) => html`<li><code>${path}</code>: ${message} ${work.form ? html`<button @click=${() => work.form?.jump(path)} aria-label=${`${settingTexts.goTo}: ${path}`}>${settingTexts.goTo}</button>` : nothing}</li>`)}</ul></div>`
      : nothing
  }
    ${check.warnings.length > 0 ? html`<ul class="asks">${check.warnings.map(({ path, message }) => html`<li><code>${path}</code>: ${message}</li>`)}</ul>` : nothing}
    ${
      check.changed
        ? html`<div class="difference" role="region" aria-label="What changes in the station file" tabindex="0"><ol>${check.difference.map(({ kind, text }) => html`<li class=${kind}><span aria-hidden="true">${signs[kind]}</span><span class="unseen">${spoken[kind]}</span><code>${text}</code></li>`)}</ol></div>`
        : html`<p class="soft">Nothing would change.</p>`
    }`
}
