import { css, html, LitElement, nothing } from 'lit'
import type { Outlook } from '../../../protocols/live/messages.ts'
import { durationMs } from '../../../protocols/words/time.ts'
import { averageText, durationText, roughDurationText } from '../../format/durations.ts'
import { limitText, numberText, percentText, uncertainTexts } from '../../format/numbers.ts'
import { spanText, timeText, type Zone } from '../../format/times.ts'
import { limitUnitText } from '../../format/units.ts'
import { mark } from '../../parts/marks.ts'
import { tell } from '../../parts/tell.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import { plantNotRunning } from '../../texts/phases.ts'
import * as blockTexts from '../../texts/running-block.ts'
import '../../parts/coverage-bar.ts'
import './outlook-scale.ts'

/** The block that is running: how much of it counts, whether it will be valid, and where it is heading against its limits. */
export class BlockPanel extends LitElement {
  static override properties = {
    station: { attribute: false },
    average: { type: String },
    nowMs: { type: Number },
    zone: { attribute: false },
    heldMs: { attribute: false },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: 10px; align-content: start; min-width: 0; }
    header { display: flex; flex-wrap: wrap; align-items: center; gap: 6px 16px; justify-content: space-between; }
    .facts { display: flex; flex-wrap: wrap; gap: 2px 18px; }
    .facts strong { font-weight: 600; }
    .valid { display: inline-flex; gap: 6px; align-items: center; }
    .outlook { display: grid; grid-template-columns: minmax(70px, auto) 1fr auto; gap: 0 14px; align-items: center; border-top: 1px solid var(--line); padding-top: 8px; }
    .name { font-size: var(--size-large); font-weight: 600; }
    .said { grid-column: 1 / -1; }
    .said strong { font-size: 1.1em; }
    .plate { background: var(--caution); color: var(--on-caution); padding: 0 6px; font-weight: 600; }
    select { font-weight: 600; }
    .way { font-weight: 400; }
  `,
  ]
  declare station: Station
  declare average: string
  declare nowMs: number
  declare zone: Zone
  /** Since when nothing new is known; null while lines come. What is guessed about the future is then not shown. */
  declare heldMs: number | null

  override render() {
    const { station, average, nowMs, zone } = this
    // A block that has ended stays open until it is settled: the newest is the one that runs.
    const open = station.openBlocks.filter((row) => row.average === average)
    const newestMs = Math.max(...open.map((row) => row.startMs))
    const rows = open.filter((row) => row.startMs === newestMs)
    const row =
      rows.find((found) =>
        station.limits.some((limit) => limit.channel === found.channel && limit.quantity === found.quantity),
      ) ?? rows[0]
    const length = durationMs(average) ?? 1
    const outlooks = station.outlooks.filter((found) => found.average === average && found.startMs === newestMs)
    return html`<header><h2>${blockTexts.title}</h2>
        <label><span class="unseen">${blockTexts.whichAverage}</span><select @change=${(event: Event) => tell(this, 'choose-average', (event.target as HTMLSelectElement).value)}>
          ${station.averages.blocks.map((one) => html`<option value=${one} ?selected=${one === average}>${averageText(one)}</option>`)}</select></label></header>
      ${this.heldMs === null ? nothing : html`<p><span class="plate">${blockTexts.asOf(timeText(this.heldMs, zone))}</span></p>`}
      ${row ? this.running(row, outlooks[0], length) : html`<p class="soft">${blockTexts.noneRunning}</p>`}
      ${outlooks.map((found) => this.heading(found))}
      ${row && !outlooks.length ? html`<p class="soft small">${station.limits.some((limit) => limit.of === 'block' && limit.average === average) ? blockTexts.headingToCome : blockTexts.noLimitSet}</p>` : nothing}
      <p class="unseen">${blockTexts.now(timeText(nowMs, zone))}</p>`
  }

  private running(row: Station['openBlocks'][number], outlook: Outlook | undefined, length: number) {
    const counted = outlook?.countedMs ?? row.countedMs
    const needed = outlook?.neededMs ?? null
    const left = Math.max(0, row.endMs - this.nowMs)
    const validity = outlook
      ? blockTexts.validityWords[outlook.validity]
      : row.valid
        ? blockTexts.validityWords.met
        : blockTexts.notYetValid
    const sign = outlook?.validity === 'lost' || outlook?.validity === 'at-risk' ? 'caution' : 'good'
    return html`<p class="facts"><strong>${spanText(row.startMs, row.endMs, this.zone)}</strong><span class="soft">${left ? blockTexts.left(roughDurationText(left)) : blockTexts.closing}</span></p>
      <coverage-bar .counted=${counted / length} .elapsed=${(this.nowMs - row.startMs) / length} .needed=${needed === null ? null : needed / length}
        label=${blockTexts.countedOf(durationText(counted), durationText(length), needed === null ? null : durationText(needed))}></coverage-bar>
      <p class="facts"><span>${blockTexts.counted(html`<strong>${durationText(counted)}</strong>`, needed === null ? null : durationText(needed))}</span>
        <span class="soft">${row.coverage === null ? plantNotRunning : percentText(row.coverage)}</span>
        ${this.heldMs === null ? html`<span class="valid">${mark(sign)} ${validity}</span>` : nothing}</p>`
  }

  /** The way from the figure to where it comes from. */
  private way(outlook: Outlook, name: string) {
    const limit = this.station.limits.find((found) => found.id === outlook.limit)
    const row = this.station.openBlocks.find(
      (found) =>
        found.channel === outlook.channel &&
        found.average === outlook.average &&
        found.startMs === outlook.startMs &&
        found.quantity === limit?.quantity,
    )
    return row
      ? html`<button class="way" @click=${() => tell(this, 'explain-average', row)} aria-label=${blockTexts.whyMean(name)}>${blockTexts.why}</button>`
      : nothing
  }

  private heading(outlook: Outlook) {
    const limit = this.station.limits.find((found) => found.id === outlook.limit)
    const channel = this.station.channels.find((found) => found.id === outlook.channel)
    if (!limit || !channel) return nothing
    const decimals = channel.referred?.decimals ?? channel.decimals
    const text = (value: number) => numberText(value, decimals)
    const row = this.station.openBlocks.find(
      (found) =>
        found.channel === outlook.channel &&
        found.quantity === limit.quantity &&
        found.unit === limit.unit &&
        found.average === outlook.average &&
        found.startMs === outlook.startMs,
    )
    const [soFar, doubt] =
      outlook.soFar === null ? ['–', null] : uncertainTexts(outlook.soFar, row?.uncertainty ?? null, decimals)
    const beyond = this.heldMs === null && outlook.heading === 'above'
    const isHeld = this.heldMs !== null
    const likely =
      isHeld || outlook.likelyLow === null || outlook.likelyHigh === null
        ? ''
        : blockTexts.likely(text(outlook.likelyLow), text(outlook.likelyHigh))
    const said = isHeld ? blockTexts.headingUnknown : blockTexts.headingWords[outlook.heading]
    return html`<div class="outlook"><span class="name">${channel.name}</span>
      <outlook-scale .soFar=${outlook.soFar} .low=${isHeld ? null : outlook.likelyLow} .high=${isHeld ? null : outlook.likelyHigh} .limit=${limit.value} .beyond=${beyond}
        label=${blockTexts.scale(channel.name, outlook.soFar === null ? blockTexts.none : text(outlook.soFar), likely, limitText(limit.value, decimals), said)}></outlook-scale>${this.way(outlook, channel.name)}
      <p class="said">${blockTexts.standing(html`<strong>${soFar}</strong>${doubt === null ? nothing : html` ± ${doubt}`}`, likely, html`<strong>${limitText(limit.value, decimals)}</strong>`)}
        <span class="soft">${limitUnitText(limit)}</span> · ${beyond ? html`<span class="plate">${said}</span>` : said}${isHeld || outlook.reachesLimitMs === null ? nothing : blockTexts.pastLimit(timeText(outlook.reachesLimitMs, this.zone))}</p></div>`
  }
}
customElements.define('block-panel', BlockPanel)
