import type { SeriesAnswer } from '../../protocols/live/requests.ts'
import type { SeriesQuery } from '../http/station-face.ts'
import { cellMs, cellsOfHour, type TraceHour, type TraceMinute } from '../recording/recording.ts'

interface Columns {
  readonly low: Float64Array
  readonly high: Float64Array
  readonly last: Float64Array
}

/**
 * Readings gathered into columns no finer than a chart can show. Each column keeps its lowest and highest value, so
 * extremes are never thinned away; a column without readings stays empty, so gaps are never bridged.
 */
export class SeriesColumns {
  private readonly query: SeriesQuery
  private readonly columnMs: number
  private readonly count: number
  private readonly columns: ReadonlyMap<string, Columns>

  constructor(query: SeriesQuery) {
    this.query = query
    this.count = Math.max(1, query.columns)
    this.columnMs = Math.max(1, (query.toMs - query.fromMs) / this.count)
    const empty = () => new Float64Array(this.count).fill(Number.NaN)
    this.columns = new Map(query.channels.map((channel) => [channel, { low: empty(), high: empty(), last: empty() }]))
  }

  /** Whether columns are wide enough to be made of the cells of hours: no value then stands off by more than half a column. */
  get takesHours(): boolean {
    return this.columnMs >= 2 * cellMs
  }

  take(minute: TraceMinute): void {
    for (const { channel, ...values } of minute.channels) {
      const columns = this.columns.get(channel)
      const column = values[this.query.value]
      for (let index = 0; columns && index < column.length; index++) {
        const value = column[index] as number
        this.put(columns, minute.minuteMs + (minute.offsetsMs[index] as number), value, value, value)
      }
    }
  }

  takeHour(hour: TraceHour): void {
    const columns = this.columns.get(hour.channel)
    const cells = hour[this.query.value]
    for (let cell = 0; columns && cell < cellsOfHour; cell++) {
      const [low, high, last] = [0, cellsOfHour, 2 * cellsOfHour].map((from) => cells[from + cell] ?? Number.NaN)
      this.put(columns, hour.hourMs + cell * cellMs, low as number, high as number, last as number)
    }
  }

  private put(columns: Columns, at: number, low: number, high: number, last: number): void {
    const { fromMs, toMs } = this.query
    if (at < fromMs || at >= toMs || Number.isNaN(last)) return
    const place = Math.min(this.count - 1, Math.floor((at - fromMs) / this.columnMs))
    if (!(low >= (columns.low[place] as number))) columns.low[place] = low
    if (!(high <= (columns.high[place] as number))) columns.high[place] = high
    columns.last[place] = last
  }

  answer(): SeriesAnswer {
    const list = (column: Float64Array): (number | null)[] =>
      Array.from(column, (value) => (Number.isNaN(value) ? null : value))
    return {
      fromMs: this.query.fromMs,
      toMs: this.query.toMs,
      columnMs: this.columnMs,
      atMs: Array.from({ length: this.count }, (_, index) => this.query.fromMs + index * this.columnMs),
      channels: Object.fromEntries(
        [...this.columns].map(([channel, { low, high, last }]) => [
          channel,
          { low: list(low), high: list(high), last: list(last) },
        ]),
      ),
    }
  }
}
