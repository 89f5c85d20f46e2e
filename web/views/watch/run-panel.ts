import { css, html, LitElement, nothing } from 'lit'
import type { RunState } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import { tell } from '../../parts/tell.ts'
import type { HandWish } from '../../shell/hands.ts'
import { shared } from '../../styles/shared.ts'
import * as runTexts from '../../texts/runs.ts'

/** The run: both its durations, how it ends, and the ways to end it or to start the next. */
export class RunPanel extends LitElement {
  static override properties = { run: { attribute: false }, zone: { attribute: false }, canControl: { type: Boolean } }
  static override styles = [
    shared,
    css`
    :host { display: flex; flex-wrap: wrap; gap: 12px 36px; align-items: end; justify-content: space-between; }
    dl { display: flex; flex-wrap: wrap; gap: 8px 34px; }
    dt { font-size: var(--size-small); color: var(--ink-soft); }
    dd { font-size: var(--size-large); font-weight: 500; }
  `,
  ]
  declare run: RunState
  declare zone: Zone
  declare canControl: boolean

  override render() {
    const { run, zone } = this
    const isOn = run.state === 'running' || run.state === 'suspended'
    return html`<dl>
        <div><dt>${run.of > 1 ? runTexts.numbered(runTexts.runWords[run.state], run.number, run.of) : runTexts.runWords[run.state]}</dt><dd>${run.name || runTexts.withoutName}</dd></div>
        ${
          run.startMs === null
            ? nothing
            : html`<div><dt>${runTexts.started}</dt><dd>${dayTimeText(run.startMs, zone)}</dd></div>
          <div><dt>${runTexts.onTheClock}</dt><dd>${durationText(run.elapsedMs)}</dd></div><div><dt>${runTexts.counted}</dt><dd>${durationText(run.countedMs)}</dd></div>`
        }
        ${run.plannedMs === null ? nothing : html`<div><dt>${runTexts.nextPlanned}</dt><dd>${dayTimeText(run.plannedMs, zone)}</dd></div>`}
        ${isOn ? html`<div><dt>${runTexts.ends}</dt><dd>${run.endRule ?? runTexts.endsByHand}</dd></div>` : run.endMs === null ? nothing : html`<div><dt>${runTexts.ended}</dt><dd>${dayTimeText(run.endMs, zone)}</dd></div>`}
      </dl>
      ${
        this.canControl
          ? html`<div class="row">
        <button @click=${() => tell<HandWish>(this, 'hand', { do: 'transfer-check' })}>${runTexts.transferCheck}</button>
        ${run.plannedMs !== null || (isOn && run.number < run.of) ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'cancel-planned' })}>${runTexts.cancelPlanned}</button>` : nothing}
        ${isOn ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'end' })}>${runTexts.end}</button>` : html`<button class="main" @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'start' })}>${runTexts.start}</button>`}
        ${isOn ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'start' })}>${runTexts.planNext}</button>` : nothing}
      </div>`
          : nothing
      }`
  }
}
customElements.define('run-panel', RunPanel)
