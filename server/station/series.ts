import type { SeriesAnswer } from '../../protocols/live/requests.ts'
import type { SeriesQuery } from '../http/station-face.ts'
import type { TraceMinute } from '../recording/recording.ts'

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

  take(minute: TraceMinute): void {
    const { fromMs, toMs, value } = this.query
    for (const { channel, ...values } of minute.channels) {
      const columns = this.columns.get(channel)
      if (!columns) continue
      const column = values[value]
      for (let index = 0; index < column.length; index++) {
        const at = minute.minuteMs + (minute.offsetsMs[index] as number)
        const number = column[index] as number
        if (at < fromMs || at >= toMs || Number.isNaN(number)) continue
        const place = Math.min(this.count - 1, Math.floor((at - fromMs) / this.columnMs))
        if (!(number >= (columns.low[place] as number))) columns.low[place] = number
        if (!(number <= (columns.high[place] as number))) columns.high[place] = number
        columns.last[place] = number
      }
    }
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
