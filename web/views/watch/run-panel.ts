import { css, html, LitElement, nothing } from 'lit'
import type { RunState } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { dayTimeText, type Zone } from '../../format/times.ts'
import { tell } from '../../parts/tell.ts'
import type { HandWish } from '../../shell/hands.ts'
import { shared } from '../../styles/shared.ts'
import { runWords } from '../../texts.ts'

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
        <div><dt>${runWords[run.state]}${run.of > 1 ? `, ${run.number} of ${run.of}` : ''}</dt><dd>${run.name || 'without a name'}</dd></div>
        ${
          run.startMs === null
            ? nothing
            : html`<div><dt>started</dt><dd>${dayTimeText(run.startMs, zone)}</dd></div>
          <div><dt>on the clock</dt><dd>${durationText(run.elapsedMs)}</dd></div><div><dt>counted</dt><dd>${durationText(run.countedMs)}</dd></div>`
        }
        ${run.plannedMs === null ? nothing : html`<div><dt>next one planned for</dt><dd>${dayTimeText(run.plannedMs, zone)}</dd></div>`}
        ${isOn ? html`<div><dt>ends</dt><dd>${run.endRule ?? 'when an operator ends it'}</dd></div>` : run.endMs === null ? nothing : html`<div><dt>ended</dt><dd>${dayTimeText(run.endMs, zone)}</dd></div>`}
      </dl>
      ${
        this.canControl
          ? html`<div class="row">
        <button @click=${() => tell<HandWish>(this, 'hand', { do: 'transfer-check' })}>Transfer check …</button>
        ${run.plannedMs !== null ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'cancel-planned' })}>Cancel the planned run</button>` : nothing}
        ${isOn ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'end' })}>End this run …</button>` : html`<button class="main" @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'start' })}>Start a run …</button>`}
        ${isOn ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'run', act: 'start' })}>Plan the next …</button>` : nothing}
      </div>`
          : nothing
      }`
  }
}
customElements.define('run-panel', RunPanel)
