import { css, html, LitElement, nothing } from 'lit'
import type { AlarmStanding, ChannelInfo, LogbookEntry } from '../../protocols/live/messages.ts'
import { timeText, type Zone } from '../format/times.ts'
import { mark } from '../parts/marks.ts'
import { tell } from '../parts/tell.ts'
import { shared } from '../styles/shared.ts'
import * as bannerTexts from '../texts/alarm-banner.ts'
import { firstOut, floodCount } from './alarm-floods.ts'
import { alarmHeadline, inOrder, isResettable, needsHand, raisedText } from './alarm-order.ts'
import type { HandWish } from './hands.ts'

const most = 4
/** In a flood only what came first and what matters most stays unfolded. */
const mostInFlood = 2

/** Alarms that stand or wait for a hand. A banner stays until it is acknowledged; advice is quiet and never looks like one. */
export class AlarmBanner extends LitElement {
  static override properties = {
    alarms: { attribute: false },
    channels: { attribute: false },
    logbook: { attribute: false },
    listHref: { type: String },
    nowMs: { type: Number },
    zone: { attribute: false },
    canAct: { type: Boolean },
    heardMs: { attribute: false },
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
    .open .buttons button { background: #000; color: #fff; border-color: #000; }
    .open .buttons button:focus-visible { outline-color: #000; }
    .open:not(:focus-within) svg { animation: call 2s steps(2, jump-none) infinite; }
    @keyframes call { from { opacity: 1; } to { opacity: 0.35; } }
    .buttons { gap: 8px; flex-wrap: nowrap; justify-content: start; }
    .first { border: 1.5px solid currentcolor; padding: 0 6px; font-weight: 600; }
    .rest { margin-top: 6px; }
    .held { font-weight: 600; margin-bottom: 6px; }
    @media (max-width: 820px) { li { grid-template-columns: auto minmax(0, 1fr); } .buttons { grid-column: 1 / -1; flex-wrap: wrap; } .buttons button { flex: 1; min-width: max-content; padding: 0 8px; } }
  `,
  ]
  declare alarms: readonly AlarmStanding[]
  declare channels: readonly ChannelInfo[]
  declare logbook: readonly LogbookEntry[]
  /** Where the whole list stands. */
  declare listHref: string
  declare nowMs: number
  declare zone: Zone
  declare canAct: boolean
  /** Station time of the last word, where the station is no longer heard; null while it is. */
  declare heardMs: number | null
  constructor() {
    super()
    this.heardMs = null
  }

  override render() {
    const listed = inOrder(this.alarms)
    if (!listed.length) return nothing
    const first = firstOut(this.alarms)
    const flood = floodCount(this.logbook, this.nowMs)
    const unfolded = flood
      ? [
          ...listed.filter(({ alarm }) => alarm === first?.alarm),
          ...listed.filter(({ alarm }) => alarm !== first?.alarm),
        ]
      : listed
    const shown = unfolded.slice(0, flood ? mostInFlood : most)
    const rest = listed.length - shown.length
    return html`${this.heardMs === null ? nothing : html`<p class="held">${bannerTexts.asLastHeard(timeText(this.heardMs, this.zone))}</p>`}<ul aria-label=${bannerTexts.alarms}>
      ${flood ? html`<li class="open"><span>${mark('alarm-plate', 28)}</span><p class="head">${bannerTexts.flood(flood, rest)}</p></li>` : nothing}
      ${shown.map((alarm) => this.line(alarm, first?.alarm === alarm.alarm ? first.of : 0))}</ul>
      ${rest > 0 ? html`<p class="rest"><a class="button" href=${this.listHref}>${bannerTexts.more(rest)}</a></p>` : nothing}`
  }

  private line(alarm: AlarmStanding, firstOf: number) {
    const open = needsHand(alarm)
    const isAdvice = alarm.class === 'advice'
    const headline = alarmHeadline(alarm, this.channels)
    const tone = open && !alarm.active ? 'over' : open && alarm.priority === 'low' ? 'low' : ''
    return html`<li class="${open ? 'open' : ''} ${tone} ${isAdvice ? 'advice' : ''}">
      ${mark(isAdvice ? 'advice' : open ? (tone ? 'caution-plate' : 'alarm-plate') : 'off', isAdvice ? 20 : 28)}
      <div><p class="head">${isAdvice ? bannerTexts.advice(headline) : headline}</p>
        <p>${firstOf ? html`<span class="first">${bannerTexts.firstOf(firstOf)}</span> · ` : nothing}${isAdvice ? nothing : html`${bannerTexts.alarmStateWords[alarm.state]} · `}${raisedText(alarm, timeText(alarm.raisedMs, this.zone), this.heardMs ?? this.nowMs)}${alarm.count > 1 ? ` · ${bannerTexts.times(alarm.count)}` : ''}${alarm.by ? ` · ${alarm.by}: ${alarm.note ?? ''}` : ''}</p></div>
      ${this.canAct ? this.buttons(alarm, open) : nothing}</li>`
  }

  private buttons({ alarm, ...standing }: AlarmStanding, open: boolean) {
    const button = (act: Extract<HandWish, { do: 'alarm' }>['act'], word: string) =>
      html`<button class="gloves" @click=${() => tell<HandWish>(this, 'hand', { do: 'alarm', act, alarm })}>${word}</button>`
    if (open)
      return html`<div class="buttons">${button('acknowledge', bannerTexts.acknowledge)}${button('shelve', bannerTexts.shelve)}</div>`
    return isResettable({ alarm, ...standing })
      ? html`<div class="buttons">${button('reset', bannerTexts.reset)}</div>`
      : nothing
  }
}
customElements.define('alarm-banner', AlarmBanner)
