import { cellMs, cellsOfHour, type TraceHour, type TraceMinute } from '../recording/recording.ts'

const hourMs = 3_600_000
const stages = ['asRead', 'corrected', 'referred'] as const

/** Gathers the minutes of charts into hours: of each cell of some minutes the lowest, highest and last value. */
export class TraceHours {
  /** The open hour of each channel, by stream. */
  private readonly open = new Map<string, readonly TraceHour[]>()

  /** Takes a finished minute; hands out the hour before where this one begins another. */
  take(minute: TraceMinute): readonly TraceHour[] {
    const start = Math.floor(minute.minuteMs / hourMs) * hourMs
    const before = this.open.get(minute.stream) ?? []
    const isSame = before[0]?.hourMs === start
    const hours = isSame ? before : minute.channels.map(({ channel }) => emptyHour(minute.stream, channel, start))
    this.open.set(minute.stream, hours)
    minute.channels.forEach((channel, place) => {
      const hour = hours[place]
      if (hour) for (const stage of stages) gather(hour[stage], channel[stage], minute, start)
    })
    return isSame ? [] : before
  }

  /** What the open hours hold so far. */
  openHours(): TraceHour[] {
    return [...this.open.values()].flat()
  }
}

function emptyHour(stream: string, channel: string, start: number): TraceHour {
  const none = () => new Float32Array(3 * cellsOfHour).fill(Number.NaN)
  return { stream, channel, hourMs: start, asRead: none(), corrected: none(), referred: none() }
}

function gather(cells: Float32Array, values: Float32Array, { minuteMs, offsetsMs }: TraceMinute, hour: number): void {
  for (let index = 0; index < values.length; index++) {
    const value = values[index] as number
    if (Number.isNaN(value)) continue
    const cell = Math.floor((minuteMs + (offsetsMs[index] as number) - hour) / cellMs)
    const high = cellsOfHour + cell
    if (!(value >= (cells[cell] as number))) cells[cell] = value
    if (!(value <= (cells[high] as number))) cells[high] = value
    cells[2 * cellsOfHour + cell] = value
  }
}
