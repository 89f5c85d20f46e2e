import { css, html, LitElement, nothing } from 'lit'
import type { AlarmStanding, ChannelInfo } from '../../protocols/live/messages.ts'
import { durationText } from '../format/durations.ts'
import { timeText, type Zone } from '../format/times.ts'
import { mark } from '../parts/marks.ts'
import { tell } from '../parts/tell.ts'
import { shared } from '../styles/shared.ts'
import { alarmStateWords } from '../texts.ts'
import { alarmHeadline, inOrder, needsHand } from './alarm-order.ts'

const most = 4

/** Alarms that stand or wait for a hand. A banner stays until it is acknowledged; advice is quiet and never looks like one. */
export class AlarmBanner extends LitElement {
  static override properties = {
    alarms: { attribute: false },
    channels: { attribute: false },
    nowMs: { type: Number },
    zone: { attribute: false },
    canAct: { type: Boolean },
  }
  static override styles = [
    shared,
    css`
    :host { display: block; }
    ul { display: grid; gap: 6px; }
    li { display: grid; grid-template-columns: auto minmax(0, 1fr) auto; gap: 4px 16px; align-items: center; padding: 8px 16px; border: 1px solid var(--edge); background: var(--panel); }
    li.open { background: var(--alarm); color: var(--on-alarm); border-color: var(--alarm); }
    li.open.low, li.open.over { background: var(--caution); color: var(--on-caution); border-color: var(--caution-edge); }
    li.advice { border-style: dashed; padding: 4px 16px; }
    .head { font-weight: 600; font-size: var(--size-large); }
    .advice .head { font-weight: 500; font-size: var(--size-text); }
    .open button { background: #000; color: #fff; border-color: #000; }
    .open button:focus-visible { outline-color: #000; }
    .open:not(:focus-within) svg { animation: call 2s steps(2, jump-none) infinite; }
    @keyframes call { from { opacity: 1; } to { opacity: 0.35; } }
    @media (max-width: 820px) { li { grid-template-columns: auto minmax(0, 1fr); } li button { grid-column: 1 / -1; } }
  `,
  ]
  declare alarms: readonly AlarmStanding[]
  declare channels: readonly ChannelInfo[]
  declare nowMs: number
  declare zone: Zone
  declare canAct: boolean

  override render() {
    const listed = inOrder(this.alarms)
    if (!listed.length) return nothing
    return html`<ul aria-label="Alarms">${listed.slice(0, most).map((alarm) => this.line(alarm))}</ul>
      ${listed.length > most ? html`<p class="soft">and ${listed.length - most} more, in the logbook</p>` : nothing}`
  }

  private line(alarm: AlarmStanding) {
    const open = needsHand(alarm)
    const isAdvice = alarm.class === 'advice'
    const tone = open && !alarm.active ? 'over' : open && alarm.priority === 'low' ? 'low' : ''
    return html`<li class="${open ? 'open' : ''} ${tone} ${isAdvice ? 'advice' : ''}">
      ${mark(isAdvice ? 'advice' : open ? (tone ? 'caution-plate' : 'alarm-plate') : 'off', isAdvice ? 20 : 28)}
      <div><p class="head">${isAdvice ? 'Advice · ' : ''}${alarmHeadline(alarm, this.channels)}</p>
        <p>${isAdvice ? nothing : html`${alarmStateWords[alarm.state]} · `}since ${timeText(alarm.raisedMs, this.zone)}, ${durationText(this.nowMs - alarm.raisedMs)}${alarm.count > 1 ? ` · ${alarm.count} times` : ''}${alarm.by ? ` · ${alarm.by}: ${alarm.note ?? ''}` : ''}</p></div>
      ${open && this.canAct ? html`<button class="gloves" @click=${() => tell(this, 'ask-acknowledge', alarm.alarm)}>Acknowledge …</button>` : nothing}</li>`
  }
}
customElements.define('alarm-banner', AlarmBanner)
