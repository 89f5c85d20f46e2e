/** Running mean and spread of the settled part of a purge or zero, for one channel. */
interface Sum {
  count: number
  mean: number
  squares: number
}

/** What a purge or zero gave for one channel. */
export interface ZeroFound {
  readonly channel: number
  readonly mean: number
  readonly standardDeviation: number | null
  readonly count: number
}

/**
 * The zero of each channel: mean of the settled part of the last purge or zero (docs/calculations.md). Taken as a drift record
 * for every channel; subtracted only where `zeroed` says so, never from oxygen or carbon dioxide.
 */
export class Zeros {
  /** What is subtracted now; NaN before the first. */
  readonly value: Float64Array
  private readonly sums: Sum[]
  private readonly zeroed: (channel: number) => boolean

  constructor(channels: number, zeroed: (channel: number) => boolean) {
    this.value = new Float64Array(channels).fill(Number.NaN)
    this.sums = Array.from({ length: channels }, () => ({ count: 0, mean: 0, squares: 0 }))
    this.zeroed = zeroed
  }

  add(channel: number, reading: number): void {
    const sum = this.sums[channel] as Sum
    sum.count++
    const delta = reading - sum.mean
    sum.mean += delta / sum.count
    sum.squares += delta * (reading - sum.mean)
  }

  /** The purge or zero of a stream is over: what it gave for the stream's channels, and from now on subtracted. */
  close(channels: readonly number[]): ZeroFound[] {
    const found: ZeroFound[] = []
    for (const channel of channels) {
      const sum = this.sums[channel] as Sum
      if (sum.count === 0) continue
      found.push({
        channel,
        mean: sum.mean,
        standardDeviation: sum.count > 1 ? Math.sqrt(sum.squares / (sum.count - 1)) : null,
        count: sum.count,
      })
      if (this.zeroed(channel)) this.value[channel] = sum.mean
      sum.count = 0
      sum.mean = 0
      sum.squares = 0
    }
    return found
  }
}
