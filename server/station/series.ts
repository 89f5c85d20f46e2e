import type { SeriesAnswer } from '../../protocols/live/requests.ts'
import type { SeriesQuery } from '../http/station-face.ts'
import { cellMs, cellsOfHour } from '../recording/recording.ts'
import type { StageMinute } from '../recording/trace.ts'
import type { StageHour } from '../recording/trace-hours.ts'

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

  /** Values of a minute, at the stage that is asked for. */
  take({ minuteMs, offsetsMs, channel, values }: StageMinute): void {
    const columns = this.columns.get(channel)
    for (let index = 0; columns && index < values.length; index++) {
      const value = values[index] as number
      this.put(columns, minuteMs + (offsetsMs[index] as number), value, value, value)
    }
  }

  takeHour({ channel, hourMs, cells }: StageHour): void {
    const columns = this.columns.get(channel)
    const at = (place: number) => cells[place] ?? Number.NaN
    for (let cell = 0; columns && cell < cellsOfHour; cell++)
      this.put(columns, hourMs + cell * cellMs, at(cell), at(cellsOfHour + cell), at(2 * cellsOfHour + cell))
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
