import { css, html, LitElement } from 'lit'
import type { ChannelInfo, ReadingState } from '../../../protocols/live/messages.ts'
import { numberText } from '../../format/numbers.ts'
import { unitName } from '../../format/units.ts'
import { mark } from '../../parts/marks.ts'
import { shared } from '../../styles/shared.ts'
import { outOfRange } from '../../texts/channels.ts'
import { dashes } from './channel-figures.ts'

/** Channels that others rest on (sample flow, cooler …): small, unless something is wrong with them. */
export class SupportingRow extends LitElement {
  static override properties = {
    channels: { attribute: false },
    readings: { attribute: false },
    staleStreams: { attribute: false },
  }
  static override styles = [
    shared,
    css`
    dl { display: flex; flex-wrap: wrap; gap: 8px 34px; }
    dt { font-size: var(--size-small); color: var(--ink-soft); }
    dd { font-size: var(--size-large); font-weight: 500; display: flex; gap: 6px; align-items: center; }
  `,
  ]
  declare channels: readonly ChannelInfo[]
  declare readings: readonly ReadingState[]
  declare staleStreams: ReadonlySet<string>

  override render() {
    return html`<dl>${this.channels.map((channel) => {
      const value = this.readings.find((reading) => reading.stream === channel.stream)?.values[channel.id]
      const stale = this.staleStreams.has(channel.stream)
      const isOut = !stale && value !== undefined && [2, 3, 6].includes(value.flag)
      return html`<div><dt>${channel.name}</dt><dd>${isOut ? mark('caution') : ''}${stale || value?.corrected == null ? html`<span class="faint">${dashes}</span>` : html`${numberText(value.corrected, channel.decimals)} ${unitName(channel.unit)}`}${isOut ? html`<span class="small">${outOfRange}</span>` : ''}</dd></div>`
    })}</dl>`
  }
}
customElements.define('supporting-row', SupportingRow)
