import { type Bounds, robustMean } from './robust-mean.ts'

/** So many of the newest settled readings of a purge are kept: ten minutes at one a second, so that memory has a bound. Our choice. */
const keptReadings = 600

/** The newest settled readings of a running purge or zero, for one channel. */
class PurgeReadings {
  private readonly values = new Float64Array(keptReadings)
  private readonly atMs = new Float64Array(keptReadings)
  private next = 0
  count = 0

  add(value: number, atMs: number): void {
    this.values[this.next] = value
    this.atMs[this.next] = atMs
    this.next = (this.next + 1) % keptReadings
    if (this.count < keptReadings) this.count++
  }

  /** What they come to; empties them. */
  take(channel: number): ZeroFound {
    const { count } = this
    const { mean, spread, bounds } = robustMean(this.values.subarray(0, count))
    const first = this.atMs[0] as number
    let later = 0
    for (let place = 0; place < count; place++) later += (this.atMs[place] as number) - first
    this.count = 0
    this.next = 0
    return { channel, mean, standardDeviation: spread, bounds, count, middleMs: first + later / count }
  }
}

/** What a purge or zero gave for one channel. Values as read, in the channel's unit. */
export interface ZeroFound {
  readonly channel: number
  readonly mean: number
  readonly standardDeviation: number | null
  /** Readings beyond were taken as these; null where none could be. */
  readonly bounds: Bounds | null
  /** The newest so many settled readings. */
  readonly count: number
  /** The middle of the readings that it is from. */
  readonly middleMs: number
}

/** A zero in use: what is subtracted, and when it was found; both NaN before the first. */
export interface ZeroInUse {
  readonly value: number
  readonly middleMs: number
}

/** A zero that took another's place. `before.value` is NaN where it is the first. */
export interface ZeroChange {
  readonly channel: number
  readonly before: ZeroInUse
  readonly after: ZeroInUse
}

/** A purge or zero that is over, as its stream saw it. */
export interface EndedPurge {
  readonly stream: string
  readonly channels: readonly number[]
  readonly phase: 'purge' | 'zero'
  readonly startMs: number
  readonly endMs: number
}

/**
 * The zero of each channel: robust mean of the settled part of the last purge or zero (docs/calculations.md). Taken as a drift
 * record for every channel; what is subtracted changes by `use` alone, never by itself.
 */
export class Zeros {
  /** What is subtracted now; NaN before the first. */
  readonly value: Float64Array
  private readonly middleMs: Float64Array
  private readonly readings: readonly PurgeReadings[]

  constructor(channels: number) {
    this.value = new Float64Array(channels).fill(Number.NaN)
    this.middleMs = new Float64Array(channels).fill(Number.NaN)
    this.readings = Array.from({ length: channels }, () => new PurgeReadings())
  }

  add(channel: number, reading: number, atMs: number): void {
    this.readings[channel]?.add(reading, atMs)
  }

  /** The purge or zero of a stream is over: what it gave for the stream's channels. */
  close(channels: readonly number[]): ZeroFound[] {
    return channels.flatMap((channel) => {
      const readings = this.readings[channel]
      return readings && readings.count > 0 ? [readings.take(channel)] : []
    })
  }

  inUse(channel: number): ZeroInUse {
    return { value: this.value[channel] as number, middleMs: this.middleMs[channel] as number }
  }

  /** From now on this zero is subtracted. */
  use({ channel, mean, middleMs }: Pick<ZeroFound, 'channel' | 'mean' | 'middleMs'>): void {
    this.value[channel] = mean
    this.middleMs[channel] = middleMs
  }
}
