import { css, html, LitElement, nothing } from 'lit'
import { type AverageRow, averageKey } from '../../../protocols/words/blocks.ts'
import { type ValueQuantity, valueQuantityNames } from '../../../protocols/words/quantities.ts'
import { anyWholeRun, isWholeRun } from '../../../protocols/words/time.ts'
import { askBlocks, exportPath } from '../../answers.ts'
import { averageText } from '../../format/durations.ts'
import type { Session } from '../../session.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import { type RowFilter, rowsShown, supportingOnes } from './row-filter.ts'
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
    filter: { state: true },
    most: { state: true },
  }
  static override styles = [
    shared,
    css`
    :host { display: grid; gap: var(--gap); min-width: 0; }
    .filters { display: flex; flex-wrap: wrap; gap: 12px 20px; align-items: end; }
    .room { flex: 1; }
    .exports { display: flex; flex-wrap: wrap; gap: 8px; align-items: center; }
  `,
  ]
  declare session: Session
  declare tick: number
  declare asked: readonly AverageRow[] | null
  declare error: string
  declare filter: RowFilter
  declare most: number
  private askedKey = ''
  constructor() {
    super()
    this.asked = null
    this.error = ''
    this.filter = { average: '', channel: '', quantity: 'most-referred', only: 'all' }
    this.most = pageLength
  }

  /** Asks again when the recording, the length or the newest ended block changed. */
  private async ask(station: Station, average: string): Promise<void> {
    const { replay } = this.session.route
    const toMs = station.playback ? Math.floor(this.session.now() / 60_000) * 60_000 : null
    const key = [
      replay,
      station.run.recording,
      average,
      station.recentBlocks.filter((row) => isOf(row, average)).length,
      toMs,
      // What was excluded changes averages of long ago.
      (station.exclusions ?? []).map(({ id }) => id).join(),
    ].join('|')
    if (key === this.askedKey) return
    this.askedKey = key
    const answer = await askBlocks(replay, { average, to: toMs })
    if (key !== this.askedKey) return
    this.error = answer.ok ? '' : answer.errors.join(' ')
    if (answer.ok) this.asked = answer.value.rows
  }

  private set(part: Partial<RowFilter>): void {
    this.filter = { ...this.filter, ...part }
    this.most = pageLength
  }
  private select(
    label: string,
    value: string,
    options: readonly (readonly [string, string])[],
    take: (value: string) => void,
  ) {
    return html`<label>${label}<select @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}>${options.map(([id, word]) => html`<option value=${id} ?selected=${id === value}>${word}</option>`)}</select></label>`
  }

  override render() {
    const { station } = this.session.state
    if (!station) return html`<p class="soft">Waiting for the station’s first word …</p>`
    const { blocks, rolling, long } = station.averages
    const average = this.filter.average || this.session.shownAverage
    const isRolling = !blocks.includes(average) && !long.includes(average)
    if (!isRolling) void this.ask(station, average)
    const live = [...station.recentBlocks, ...station.openBlocks].filter((row) => isOf(row, average))
    const all = new Map<string, AverageRow>()
    for (const row of isRolling ? station.rolling : [...(this.asked ?? []), ...live])
      if (isOf(row, average)) all.set(averageKey(row), row)
    const rows = rowsShown([...all.values()], this.filter, station.channels)
    const channels = station.channels.filter((channel) => !channel.supporting)
    const quantities = [...new Set([...all.values()].map((row) => row.quantity))]
    return html`<h1 class="unseen">Averages</h1>
      <div class="filters">
        ${this.select('Average', average, [...[...blocks, ...long].map((one) => [one, averageText(one)] as const), ...rolling.map((one) => [one, `${averageText(one)}, rolling`] as const)], (value) => this.set({ average: value }))}
        ${this.select('Channel', this.filter.channel, [['', 'all'], ...channels.map((channel) => [channel.id, channel.name] as const), ...(channels.length < station.channels.length ? [[supportingOnes, 'supporting ones'] as const] : [])], (value) => this.set({ channel: value }))}
        ${this.select('Value', this.filter.quantity, [['most-referred', 'as the limits are set'], ['', 'all'], ...quantities.map((one) => [one, valueQuantityNames[one]] as const)], (value) => this.set({ quantity: value as ValueQuantity }))}
        ${this.select(
          'Validity',
          this.filter.only,
          [
            ['all', 'all'],
            ['valid', 'valid only'],
            ['invalid', 'invalid only'],
          ],
          (value) => this.set({ only: value as RowFilter['only'] }),
        )}
        <span class="room"></span>
        <span class="exports" role="group" aria-label="Export the recording’s blocks">Export ${formats.map((format) => html`<a class="button" href=${exportPath(this.session.route.replay, format)} download>${format.toUpperCase()}</a>`)}</span>
      </div>
      <p class="soft small">Rule of validity: ${station.averages.validity}; blocks are aligned to the ${station.averages.align === 'clock' ? 'clock' : 'run’s start'}. Exports hold every digit; the screen rounds. ± is the expanded uncertainty, k = 2: about 95 %.</p>
      ${this.error ? html`<p class="errors" role="alert">${this.error}</p>` : nothing}
      ${rows.length ? html`<averages-table .rows=${rows.slice(0, this.most)} .channels=${station.channels} .limits=${station.limits} .results=${station.results} .zone=${station.clock}></averages-table>` : html`<p class="soft">${this.asked === null && !isRolling ? 'Asking the station …' : all.size ? 'No average fits this choice.' : 'No block has ended yet. The first appears here when it does.'}</p>`}
      ${
        rows.length > this.most
          ? html`<button @click=${() => {
              this.most += pageLength * 4
            }}>Show more: ${rows.length - this.most} earlier ones</button>`
          : nothing
      }`
  }
}
customElements.define('averages-view', AveragesView)
