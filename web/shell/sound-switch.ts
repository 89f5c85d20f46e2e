import { html, LitElement, svg } from 'lit'
import { durationText } from '../format/durations.ts'
import { shared } from '../styles/shared.ts'
import { silenced, soundWords } from '../texts/alarms.ts'
import type { AlarmCall } from './alarm-call.ts'

/** Whether this page can be heard, always in sight: a tap switches it on, and once on leads to its settings. */
export class SoundSwitch extends LitElement {
  static override properties = { call: { attribute: false }, href: { type: String }, tick: { type: Number } }
  static override styles = [shared]
  declare call: AlarmCall
  declare href: string
  declare tick: number

  override render() {
    const { state } = this.call.sound
    const silentMs = this.call.silentForMs(performance.now())
    const isHeard = state === 'on' && !silentMs
    const picture = html`<svg width="20" height="20" viewBox="0 0 20 20" aria-hidden="true"><path d="M3 7.5h3.5L11 4v12l-4.500-3.500H3z" fill="currentColor"></path>${isHeard ? svg`<path d="M13.500 7a4 4 0 0 1 0 6M15.500 4.500a7.500 7.500 0 0 1 0 11" fill="none" stroke="currentColor" stroke-width="1.6"></path>` : svg`<path d="m13 7.500 5 5m0-5-5 5" stroke="currentColor" stroke-width="1.8"></path>`}</svg>`
    if (state === 'off' || state === 'waiting')
      return html`<button @click=${() => void this.call.enable()}>${picture}${soundWords[state]}</button>`
    return html`<a class="button" href=${this.href}>${picture}${silentMs ? silenced(durationText(Math.ceil(silentMs / 60_000) * 60_000)) : soundWords[state]}</a>`
  }
}
customElements.define('sound-switch', SoundSwitch)
