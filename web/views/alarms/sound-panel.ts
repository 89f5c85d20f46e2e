import { css, html, LitElement, nothing } from 'lit'
import { durationText } from '../../format/durations.ts'
import { mark } from '../../parts/marks.ts'
import type { AlarmCall } from '../../shell/alarm-call.ts'
import { askForNotices, noticeState } from '../../shell/alarm-notice.ts'
import { shared } from '../../styles/shared.ts'
import * as alarmTexts from '../../texts/alarms.ts'

/** How this page calls: its sound, which can be tried and silenced for a time, and the browser's notification. */
export class SoundPanel extends LitElement {
  static override properties = { call: { attribute: false }, pageMs: { type: Number } }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 10px; }
    .said { display: flex; gap: 8px; align-items: center; font-weight: 600; }
  `,
  ]
  declare call: AlarmCall | null
  declare pageMs: number

  override render() {
    const { call, pageMs } = this
    if (!call) return nothing
    const { state } = call.sound
    const silentMs = call.silentForMs(pageMs)
    const isOn = state === 'on'
    return html`<h2>${alarmTexts.howPageCalls}</h2>
      <p class="said" role="status">${mark(isOn && !silentMs ? 'good' : 'off')} ${isOn && silentMs ? alarmTexts.silencedFor(durationText(silentMs)) : alarmTexts.soundWords[state]}</p>
      <div class="row">
        ${isOn ? html`<button @click=${() => call.test('high')}>${alarmTexts.tryHigh}</button><button @click=${() => call.test('medium')}>${alarmTexts.tryMedium}</button><button @click=${() => call.test('low')}>${alarmTexts.tryLow}</button>` : state === 'none' ? nothing : html`<button class="main" @click=${() => void call.enable()}>${alarmTexts.switchOn}</button>`}
      </div>
      ${
        isOn
          ? html`<div class="row" role="group" aria-label=${alarmTexts.silence}>
        ${silentMs ? html`<button @click=${() => call.speakAgain()}>${alarmTexts.endSilence}</button>` : alarmTexts.silenceMinutes.map(([minutes, word]) => html`<button @click=${() => call.silence(minutes, performance.now())}>${alarmTexts.silenceFor(word)}</button>`)}
        <button @click=${() => call.disable()}>${alarmTexts.switchOff}</button></div>`
          : nothing
      }
      <p>${alarmTexts.noticeWords[noticeState()]} ${noticeState() === 'default' ? html`<button @click=${() => void askForNotices().then(() => this.requestUpdate())}>${alarmTexts.allowNotices}</button>` : nothing}</p>
      <p class="soft small">${alarmTexts.soundLimits}</p>`
  }
}
customElements.define('sound-panel', SoundPanel)
