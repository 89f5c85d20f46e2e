import { css, html, LitElement, nothing } from 'lit'
import { live } from 'lit/directives/live.js'
import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import { type ValueQuantity, valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { anyWholeRun, averageLengthMs, isWholeRun } from '../../../protocols/words/time.ts'
import { askBlocks, exportPath } from '../../answers.ts'
import { averageText } from '../../format/durations.ts'
import { decimalMark } from '../../format/numbers.ts'
import { copyText } from '../../parts/copy-text.ts'
import { errorLine } from '../../parts/errors.ts'
import type { RowFilter } from '../../picks.ts'
import '../../parts/no-instrument.ts'
import type { Session } from '../../session.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import * as averageTexts from '../../texts/averages.ts'
import * as everywhere from '../../texts/everywhere.ts'
import { viewWords } from '../../texts/frame.ts'
import type { AverageDetails } from './average-details.ts'
import { copiedRows } from './copied-rows.ts'
import { rowsShown, supportingOnes } from './row-filter.ts'
import { type OrderBy, ordered, pressed, type RowOrder, usualOrder } from './row-order.ts'
import './average-details.ts'
import './averages-table.ts'

const pageLength = 120
/** All whole runs are one average, whatever their lengths. */
const isOf = (row: AverageRow, average: string): boolean =>
  average === anyWholeRun ? isWholeRun(row.average) : row.average === average
const formats = ['csv', 'xlsx', 'json'] as const

/** Blocks and rolling averages with validity and the reasons in words; filters; exports. */
export class AveragesView extends LitElement {
  static override properties = {
    session: { attribute: false },
    tick: { type: Number },
    asked: { state: true },
    error: { state: true },
    most: { state: true },
    order: { state: true },
    decimal: { state: true },
    copied: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; }
    .filters { display: flex; flex-wrap: wrap; gap: 12px 20px; align-items: end; }
    .narrow { display: none; }
    @media (max-width: 820px) { .narrow { display: grid; gap: 4px; } }
    .room { flex: 1; }
    .exports { display: flex; flex-wrap: wrap; gap: 8px; align-items: center; }
  `,
  ]
  declare session: Session
  declare tick: number
  declare asked: readonly AverageRow[] | null
  declare error: string
  declare most: number
  declare order: RowOrder
  declare decimal: '.' | ','
  /** What came of copying; empty: nothing was copied lately. */
  declare copied: string
  private askedKey = ''
  constructor() {
    super()
    this.asked = null
    this.error = ''
    this.most = pageLength
    this.order = usualOrder
    this.decimal = decimalMark()
    this.copied = ''
    this.addEventListener('order-rows', (event) => {
      this.order = pressed(this.order, (event as CustomEvent<OrderBy>).detail)
    })
    this.addEventListener('open-row', (event) => this.open((event as CustomEvent<AverageRow>).detail))
  }

  private open(row: AverageRow): void {
    const { station } = this.session.state
    if (station) void this.renderRoot.querySelector<AverageDetails>('average-details')?.open(row, station)
  }
  private async copy(rows: readonly AverageRow[], { channels, limits, results, clock }: Station): Promise<void> {
    const done = await copyText(copiedRows(rows, channels, limits, results.uncertainty, clock, this.decimal))
    this.copied = done ? averageTexts.copiedCount(rows.length) : averageTexts.copyFailed
  }

  /** Asks again when the recording, the length or the newest ended block changed. */
  private async ask(station: Station, average: string, kind: 'block' | 'rolling'): Promise<void> {
    const { replay } = this.session.route
    // Without a recording there is nothing to ask for, and nothing to wait for.
    if (replay === null && station.run.recording === null) {
      this.asked = []
      return
    }
    const nowMs = this.session.now()
    const toMs = station.playback ? Math.floor(nowMs / 60_000) * 60_000 : null
    const { channel } = this.session.route.rows
    const one = station.channels.some(({ id }) => id === channel) ? channel : null
    const some = isFrequent(average, kind) ? { channel: one, from: recentFrom(nowMs, one) } : {}
    const key = [
      replay,
      station.run.recording,
      average,
      station.recentBlocks.filter((row) => isOf(row, average)).length,
      toMs,
      kind,
      ...Object.values(some),
      // An amendment changes averages of long ago; a snapshot follows it.
      replay === null ? this.session.state.trendBreaks : '',
    ].join('|')
    if (key === this.askedKey) return
    this.askedKey = key
    const answer = await askBlocks(replay, { average, kind, to: toMs, ...some })
    if (key !== this.askedKey) return
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.asked = answer.value.rows
  }

  private set(part: Partial<RowFilter>): void {
    this.session.go({ rows: { ...this.session.route.rows, ...part } })
    this.most = pageLength
  }
  private select(
    label: string,
    value: string,
    options: readonly (readonly [string, string])[],
    take: (value: string) => void,
  ) {
    return html`<label>${label}<select @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}>${options.map(([id, word]) => html`<option value=${id} .selected=${live(id === value)}>${word}</option>`)}</select></label>`
  }

  override render() {
    const { station } = this.session.state
    if (!station) return html`<p class="soft">${everywhere.waitingForStation}</p>`
    if (!station.streams.length) return html`<no-instrument view="averages"></no-instrument>`
    const { blocks, rolling, long } = station.averages
    const filter = rowsAsked(this.session.route.rows, station)
    const average = filter.average || this.session.shownAverage
    const isRolling = !blocks.includes(average) && !long.includes(average)
    const kind = isRolling ? 'rolling' : 'block'
    void this.ask(station, average, kind)
    const told = isRolling ? station.rolling : [...station.recentBlocks, ...station.openBlocks]
    const all = new Map<string, AverageRow>()
    for (const row of [...(this.asked ?? []), ...told]) if (isOf(row, average)) all.set(averageKey(row), row)
    const rows = ordered(rowsShown([...all.values()], filter, station.channels), this.order, station.channels)
    const channels = station.channels.filter((channel) => !channel.supporting)
    const quantities = [...new Set([...all.values()].map((row) => row.quantity))]
    return html`<h1 class="unseen">${viewWords.averages}</h1>
      <div class="filters">
        ${this.select(averageTexts.average, average, [...[...blocks, ...long].map((one) => [one, averageText(one)] as const), ...rolling.map((one) => [one, averageTexts.rolling(averageText(one))] as const)], (value) => this.set({ average: value }))}
        ${this.select(everywhere.channel, filter.channel, [['', everywhere.all], ...channels.map((channel) => [channel.id, channel.name] as const), ...(channels.length < station.channels.length ? [[supportingOnes, averageTexts.supportingOnes] as const] : [])], (value) => this.set({ channel: value }))}
        ${this.select(averageTexts.value, filter.quantity, [['most-referred', averageTexts.asLimitsSet], ['', everywhere.all], ...quantities.map((one) => [one, valueQuantityNames[one]] as const)], (value) => this.set({ quantity: value as ValueQuantity }))}
        ${this.select(
          averageTexts.orderWords.validity,
          filter.only,
          [
            ['all', everywhere.all],
            ['valid', averageTexts.validOnly],
            ['invalid', averageTexts.invalidOnly],
          ],
          (value) => this.set({ only: value as RowFilter['only'] }),
        )}
        <span class="narrow"><span class="soft small">${averageTexts.order}</span><select aria-label=${averageTexts.order} @change=${(
          event: Event,
        ) => {
          this.order = pressed(this.order, (event.target as HTMLSelectElement).value as OrderBy)
        }}>${Object.entries(averageTexts.orderWords).map(([id, word]) => html`<option value=${id} ?selected=${id === this.order.by}>${word}</option>`)}</select></span>
        <span class="room"></span>
        <button @click=${() => void this.copy(rows, station)} ?disabled=${!rows.length}>${everywhere.copyAsTable}</button>
        ${this.select(averageTexts.decimalMark, this.decimal, averageTexts.decimalMarks, (value) => {
          this.decimal = value === ',' ? ',' : '.'
        })}
        <span class="exports" role="group" aria-label=${averageTexts.exportBlocks}>${averageTexts.exported} ${formats.map((format) => html`<a class="button" href=${exportPath(this.session.route.replay, format, this.decimal)} target="_blank">${format.toUpperCase()}</a>`)}</span>
      </div>
      <p class="soft small">${averageTexts.about(station.averages.validity, station.averages.align === 'clock', isFrequent(average, kind))}</p>
      <p role="status" class="small">${this.copied}</p>
      ${errorLine(this.error)}
      ${rows.length ? html`<averages-table .rows=${rows.slice(0, this.most)} .channels=${station.channels} .limits=${station.limits} .results=${station.results} .zone=${station.clock} .order=${this.order}></averages-table>` : html`<p class="soft">${this.asked === null ? (this.error ? '' : everywhere.askingStation) : all.size ? averageTexts.noneFits : averageTexts.noneEnded}</p>`}
      ${
        rows.length > this.most
          ? html`<button @click=${() => {
              this.most += pageLength * 4
            }}>${everywhere.moreEarlier(rows.length - this.most)}</button>`
          : nothing
      }
      <average-details></average-details>`
  }
}
/** What a link asks for; a length or a channel that this station does not have falls back to the usual. */
function rowsAsked(rows: RowFilter, { averages, channels }: Station): RowFilter {
  const { blocks, long, rolling } = averages
  const isKnown = rows.channel === supportingOnes || channels.some(({ id }) => id === rows.channel)
  return {
    ...rows,
    average: [...blocks, ...long, ...rolling].find((one) => one === rows.average) ?? '',
    channel: isKnown ? rows.channel : '',
  }
}

/** A row each few minutes: of a run of days more than a page can hold. */
const isFrequent = (average: string, kind: 'block' | 'rolling'): boolean =>
  kind === 'rolling' || (averageLengthMs(average) ?? Number.POSITIVE_INFINITY) < 600_000

/** Of averages that come often only the last hours are asked for. On whole minutes, so that they are asked for once a minute. */
const recentFrom = (nowMs: number, channel: string | null) =>
  Math.floor(nowMs / 60_000) * 60_000 - (channel === null ? 2 : 24) * 3_600_000
customElements.define('averages-view', AveragesView)
