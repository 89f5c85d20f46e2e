import { html, LitElement, nothing } from 'lit'
import type { ChannelInfo } from '../../../protocols/live/messages.ts'
import { durationText } from '../../format/durations.ts'
import { freshness, isInTouch } from '../../freshness.ts'
import { tell } from '../../parts/tell.ts'
import { rightRoom } from '../../parts/trend-axes.ts'
import type { GestureWish } from '../../parts/trend-gestures.ts'
import type { Beside, TrendStrip } from '../../parts/trend-strip.ts'
import type { TrendValue } from '../../picks.ts'
import type { Session } from '../../session.ts'
import { canTell } from '../../shell/can-tell.ts'
import type { HandWish } from '../../shell/hands.ts'
import type { Station } from '../../store.ts'
import { shared } from '../../styles/shared.ts'
import { waitingForStation } from '../../texts/everywhere.ts'
import { phaseWords, plantWords } from '../../texts/phases.ts'
import { legend, trendOf } from '../../texts/trends.ts'
import * as watchTexts from '../../texts/watch.ts'
import { windowAt } from '../../window.ts'
import { bigState } from './big-state.ts'
import { besideOf, channelTrend, tableOf } from './channel-trend.ts'
import { glanceLines } from './glance.ts'
import { ribbonParts } from './ribbon-parts.ts'
import type { StretchDialog } from './stretch-dialog.ts'
import type { TrendMove } from './trend-bar.ts'
import { type StreamStretches, streamStretches } from './trend-marks.ts'
import { gestureTrends, moveTrends, selectTrends } from './trend-moves.ts'
import type { TrendTable } from './trend-table.ts'
import '../../parts/no-instrument.ts'
import '../../parts/phase-ribbon.ts'
import '../../parts/trend-strip.ts'
import './block-panel.ts'
import './channel-figures.ts'
import './glance-lines.ts'
import './phase-hero.ts'
import './run-panel.ts'
import './supporting-row.ts'
import './trend-bar.ts'
import { watchStyles } from './watch-styles.ts'

interface Moment {
  pageMs: number
  nowMs: number
  fromMs: number
  toMs: number
  stale: ReadonlySet<string>
  ages: ReadonlyMap<string, string>
  heldMs: number | null
  beside: Beside | null
}

/** What the instrument is doing now, and the night so far. */
export class WatchView extends LitElement {
  static override properties = { session: { attribute: false }, tick: { type: Number } }
  static override styles = [shared, watchStyles]
  declare session: Session
  declare tick: number

  constructor() {
    super()
    this.addEventListener('trend-width', (event) => this.widthChanged((event as CustomEvent<number>).detail))
    this.addEventListener('trend-move', (event) => moveTrends(this.session, (event as CustomEvent<TrendMove>).detail))
    this.addEventListener('trend-select', (event) =>
      selectTrends(this.session, (event as CustomEvent<{ fromMs: number; toMs: number }>).detail),
    )
    this.addEventListener('trend-gesture', (event) =>
      gestureTrends(this.session, (event as CustomEvent<GestureWish>).detail),
    )
    this.addEventListener('trend-beside', (event) => this.session.go({ beside: (event as CustomEvent<string>).detail }))
    this.addEventListener('ask-table', (event) => this.openTable((event as CustomEvent<string>).detail))
    this.addEventListener('ask-stretch', () => this.openStretch())
    this.addEventListener('trend-value', (event) =>
      this.session.go({ trendValue: (event as CustomEvent<TrendValue>).detail }),
    )
    this.addEventListener('choose-average', (event) => {
      this.session.average = (event as CustomEvent<string>).detail
      this.session.redraw()
    })
  }

  private widthChanged(width: number): void {
    if (width === this.session.trendPixels || width <= 0) return
    this.session.trendPixels = width
    this.session.redraw()
  }

  /** Charts tell their width as it changes; what was told last need not be theirs still, so the one that stands decides. */
  protected override updated(): void {
    this.widthChanged(this.renderRoot.querySelector<TrendStrip>('trend-strip')?.plotPixels ?? 0)
  }

  /** The moment that is drawn: one reading of the clock for the whole picture. */
  private moment(station: Station): Moment {
    const { session } = this
    const pageMs = performance.now()
    const nowMs = session.now()
    const found = station.streams.map((stream) => [stream.id, freshness(session.state, stream, pageMs)] as const)
    const inTouch = isInTouch(session.state, pageMs) || station.mode === 'replay'
    const lines = station.streams
      .filter((stream, index) => (found[index]?.[1].stale || !inTouch) && stream.lastLineMs !== null)
      .map((stream) => stream.lastLineMs ?? 0)
    return {
      pageMs,
      nowMs,
      beside: null,
      heldMs: lines.length ? Math.min(...lines) : null,
      ...windowAt(session.route.window, station.run.startMs, nowMs),
      stale: new Set(found.filter(([, { stale }]) => stale || !inTouch).map(([id]) => id)),
      ages: new Map(found.map(([id, { ageMs }]) => [id, ageMs === null ? '' : durationText(ageMs)])),
    }
  }

  /** Each stretch of a stream, however short. */
  private stretchesOf(station: Station, stream: string, moment: Moment) {
    return ribbonParts(
      station,
      this.session.feed,
      stream,
      moment.fromMs,
      Math.min(moment.nowMs, moment.toMs),
      this.pixelMs(moment),
      moment.stale.has(stream) ? (station.streams.find(({ id }) => id === stream)?.lastLineMs ?? null) : null,
    )
  }
  private pixelMs({ fromMs, toMs }: Moment): number {
    return (toMs - fromMs) / Math.max(1, this.session.trendPixels)
  }
  private stretches(station: Station, moment: Moment): ReadonlyMap<string, StreamStretches> {
    return new Map(
      station.streams.map(({ id }) => [
        id,
        streamStretches(this.stretchesOf(station, id, moment), this.pixelMs(moment)),
      ]),
    )
  }

  override render() {
    const { session } = this
    const { station } = session.state
    if (!station) return html`<p class="empty">${waitingForStation}</p>`
    if (station.streams.length === 0) return html`<no-instrument view="watch"></no-instrument>`
    const bare = this.moment(station)
    const shown = station.channels.filter((channel) => !channel.supporting)
    const supporting = station.channels.filter((channel) => channel.supporting)
    const stretches = this.stretches(station, bare)
    const moment = { ...bare, beside: this.besideNow(station, stretches, bare) }
    const plant = plantWords[station.plant.state]
    return html`
      <section class="top" aria-label=${watchTexts.now}>
        <div class="heroes">${station.streams.map((stream) => html`<phase-hero .state=${bigState(session.state, stream, moment.pageMs, moment.nowMs)} plant=${plant} stream=${station.streams.length > 1 ? stream.id : ''}></phase-hero>`)}
          <div class="glance"><glance-lines .lines=${glanceLines(session.state, session.shownAverage, moment.pageMs, moment.heldMs).filter(({ about }) => about !== 'block')}></glance-lines>
            <div class="row">${canTell(station) ? html`<button @click=${() => tell<HandWish>(this, 'hand', { do: 'tell' })}>${watchTexts.tellPhase}</button>` : nothing}<button @click=${() => tell(this, 'far', true)} title=${watchTexts.farViewHint}>${watchTexts.farView}</button></div></div>
          ${supporting.length ? html`<supporting-row .channels=${supporting} .readings=${station.readings} .staleStreams=${moment.stale}></supporting-row>` : nothing}</div>
        <block-panel .station=${station} average=${session.shownAverage} .nowMs=${moment.nowMs} .zone=${station.clock} .heldMs=${moment.heldMs}></block-panel>
      </section>
      <section class="trends" aria-label=${watchTexts.channelsAndTrends}>
        <trend-bar .window=${session.route.window} .fromMs=${moment.fromMs} .toMs=${moment.toMs} .nowMs=${moment.nowMs} .zone=${station.clock} value=${session.route.trendValue} ?loading=${session.feed.loading} .error=${session.feed.error ?? ''} .channels=${station.channels} beside=${session.route.beside}></trend-bar>
        <div class="line flags"><span class="small soft legend-word">${watchTexts.logbook}</span><flag-row .session=${session} .fromMs=${moment.fromMs} .toMs=${moment.toMs} .width=${session.trendPixels} .tick=${this.tick}></flag-row></div>
        ${station.streams.map((stream) =>
          this.streamRows(
            station,
            shown.filter((channel) => channel.stream === stream.id),
            stretches.get(stream.id) ?? streamStretches([], 1),
            moment,
          ),
        )}
        ${this.legend([...stretches.values()].flatMap(({ words }) => [...words]))}
      </section>
      <section aria-label=${watchTexts.run}><run-panel .run=${station.run} .zone=${station.clock} ?canControl=${station.mode === 'live'}></run-panel></section>
      <trend-table></trend-table><stretch-dialog></stretch-dialog>`
  }

  private streamRows(station: Station, channels: readonly ChannelInfo[], stretches: StreamStretches, moment: Moment) {
    return html`<div class="line ribbon"><span class="small soft legend-word">${watchTexts.phase}</span><phase-ribbon .parts=${stretches.parts} .fromMs=${moment.fromMs} .toMs=${moment.toMs} .width=${this.session.trendPixels} .zone=${station.clock} .rightRoom=${rightRoom(moment.beside !== null)}></phase-ribbon></div>
      ${channels.map((channel, index) => this.channelRow(station, channel, stretches, moment, index === channels.length - 1))}`
  }

  private channelRow(
    station: Station,
    channel: ChannelInfo,
    stretches: StreamStretches,
    moment: Moment,
    isLast: boolean,
  ) {
    const { session } = this
    const value = station.readings.find((reading) => reading.stream === channel.stream)?.values[channel.id] ?? null
    const { picture, marks, decimals, unit, axisUnit, scale } = channelTrend(
      session,
      station,
      channel,
      stretches,
      moment,
    )
    return html`<div class="line channel ${isLast ? 'last' : ''}">
      <channel-figures .channel=${channel} .value=${value} ?stale=${moment.stale.has(channel.stream)} age=${moment.ages.get(channel.stream) ?? ''}></channel-figures>
      <trend-strip .picture=${picture} .marks=${marks} .fromMs=${moment.fromMs} .toMs=${moment.toMs} .zone=${station.clock} .decimals=${decimals} ?withTimes=${isLast} unit=${unit} axisUnit=${axisUnit} .scale=${scale} .beside=${moment.beside}
        label=${trendOf(channel.name)}></trend-strip></div>`
  }

  /** The channel that is laid over the others; null where none is. */
  private besideNow(station: Station, stretches: ReadonlyMap<string, StreamStretches>, moment: Moment): Beside | null {
    const { session } = this
    const channel = station.channels.find(({ id }) => id === session.route.beside)
    if (!channel) return null
    const own = stretches.get(channel.stream) ?? streamStretches([], 1)
    const trend = channelTrend(session, station, channel, own, moment)
    return besideOf(channel, trend, (2 * (moment.toMs - moment.fromMs)) / Math.max(1, session.trendPixels))
  }
  private openTable(id: string): void {
    const { session } = this
    const { station } = session.state
    const channel = station?.channels.find((found) => found.id === id)
    if (!station || !channel) return
    const moment = this.moment(station)
    const parts = this.stretchesOf(station, channel.stream, moment)
    const trend = channelTrend(session, station, channel, streamStretches(parts, this.pixelMs(moment)), moment)
    const table = tableOf(session, station, channel, parts, trend, moment)
    void this.whenHere<TrendTable>('trend-table').then((shown) => shown?.open(table))
  }
  private openStretch(): void {
    const { station } = this.session.state
    if (!station) return
    const { fromMs, toMs } = this.moment(station)
    void this.whenHere<StretchDialog>('stretch-dialog').then((shown) => shown?.open(station.clock, fromMs, toMs))
  }
  /** Right after the first picture a piece of the page may still be on its way: what was asked of it waits. */
  private async whenHere<Piece extends Element>(name: string): Promise<Piece | null> {
    await customElements.whenDefined(name)
    return this.renderRoot.querySelector<Piece>(name)
  }

  private legend(found: readonly string[]) {
    const words = [...new Set(found)].filter((word) => word !== phaseWords.measure)
    return html`<p class="small soft legend">${legend(words.join(', '))}</p>`
  }
}
customElements.define('watch-view', WatchView)
