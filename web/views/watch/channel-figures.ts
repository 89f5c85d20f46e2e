import { css, html, LitElement, nothing } from 'lit'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { numberText } from '../../format/numbers.ts'
import { channelUnitText, referredUnitText, unitName } from '../../format/units.ts'
import { tell } from '../../parts/tell.ts'
import { shared } from '../../styles/shared.ts'
import * as channelTexts from '../../texts/channels.ts'
import { noValue } from '../../texts/everywhere.ts'

export interface ShownValue {
  readonly asRead: number | null
  readonly corrected: number | null
  readonly referred: number | null
  readonly flag: number
}

/** What stands in place of digits that are no longer the present: never a number. */
export const dashes = '– – –'

/** A channel's figures with unit and basis. When they are old the digits themselves are gone and their age stands there. */
export class ChannelFigures extends LitElement {
  static override properties = {
    channel: { attribute: false },
    value: { attribute: false },
    stale: { type: Boolean, reflect: true },
    age: { type: String },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; grid-template-columns: 84px 1fr; gap: 0 8px; align-items: baseline; min-width: 0; }
    h3 { font-size: 1.6rem; font-weight: 600; line-height: 1.1; overflow-wrap: anywhere; }
    h3 button { font: inherit; border: 0; background: none; padding: 0; min-height: var(--target); justify-content: start; text-align: left; text-decoration: underline; text-decoration-thickness: 1px; text-underline-offset: 5px; text-decoration-color: var(--edge); overflow-wrap: anywhere; }
    .figures { display: grid; grid-template-columns: minmax(96px, 0.8fr) minmax(0, 1.1fr); gap: 0 12px; min-width: 0; }
    .figure { min-width: 0; }
    .digits { font-size: var(--size-figure); font-weight: 600; line-height: 1.1; white-space: nowrap; letter-spacing: -0.01em; display: block; }
    .unit { font-size: var(--size-small); color: var(--ink-soft); display: block; line-height: 1.25; }
    .under { grid-column: 1 / -1; font-size: var(--size-small); color: var(--ink-soft); min-height: 1.4em; }
    .idle .digits { color: var(--ink-faint); font-weight: 400; }
    :host([stale]) .digits { color: var(--ink-faint); font-weight: 400; }
    .age { background: var(--alarm); color: var(--on-alarm); padding: 0 6px; font-weight: 600; }
  `,
  ]
  declare channel: ChannelInfo
  declare value: ShownValue | null
  declare stale: boolean
  /** In words; shown when stale. */
  declare age: string

  override render() {
    const { channel, value, stale } = this
    const isCorrected = value !== null && value.corrected !== value.asRead
    const unit = `${channelUnitText(channel)}${isCorrected ? `, ${channelTexts.quantityWords.corrected}` : ''}`
    return html`<h3><button aria-label=${channelTexts.figuresAsTable(channel.name)} title=${channelTexts.asTable} @click=${() => tell(this, 'ask-table', channel.id)}>${channel.name}</button></h3>
      <div class="figures ${value && value.flag !== 0 ? 'idle' : ''}">
        ${this.figure(value?.corrected ?? null, channel.decimals, unit)}
        ${channel.referred ? this.figure(value?.referred ?? null, channel.referred.decimals, referredUnitText(channel.referred)) : nothing}
      </div>
      <p class="under">${stale ? html`<span class="age">${this.age ? channelTexts.old(this.age) : channelTexts.noReading}</span>` : this.origin(isCorrected).join(' · ')}</p>`
  }

  /** Where the figure comes from, and why it does not count if it does not. */
  private origin(isCorrected: boolean): string[] {
    const { channel, value } = this
    const asRead =
      isCorrected && value && value.asRead !== null
        ? `${channelTexts.quantityWords.asRead} ${numberText(value.asRead, channel.decimals)} ${unitName(channel.unit)}`
        : channelTexts.quantityWords.asRead
    const words = [channel.origin === 'computed' ? channelTexts.computed(asRead) : asRead]
    return value && value.flag !== 0 ? [...words, channelTexts.flagWords[value.flag] ?? channelTexts.notCounted] : words
  }

  private figure(value: number | null, decimals: number, unit: string) {
    return html`<span class="figure"><span class="digits">${this.stale || value === null ? html`<span aria-label=${this.stale ? channelTexts.noPresentValue : noValue} role="img">${this.stale ? dashes : '–'}</span>` : numberText(value, decimals)}</span><span class="unit">${unit}</span></span>`
  }
}
customElements.define('channel-figures', ChannelFigures)
