const dayMs = 86_400_000

/** One zero that a purge or zero phase gave for a channel, as read. */
export interface TakenZero {
  readonly channel: number
  readonly atMs: number
  readonly mean: number
  readonly standardDeviation: number | null
  readonly count: number
}

interface Kept {
  lastMs: number
  mean: number
  /** Variance of the last zero's own mean. */
  variance: number
  changes: number
  /** Sum of squared changes from one zero to the next. */
  squares: number
}

/** What the zeros of a run tell of each channel's drift; as much memory for a night as for a month. In the channel's unit. */
export class ZeroRecord {
  private readonly kept: Kept[]

  constructor(channels: number) {
    this.kept = Array.from({ length: channels }, () => ({
      lastMs: Number.NaN,
      mean: Number.NaN,
      variance: 0,
      changes: 0,
      squares: 0,
    }))
  }

  take({ channel, atMs, mean, standardDeviation, count }: TakenZero): void {
    const kept = this.kept[channel]
    if (!kept) return
    if (!Number.isNaN(kept.lastMs)) {
      kept.changes++
      kept.squares += (mean - kept.mean) ** 2
    }
    kept.lastMs = atMs
    kept.mean = mean
    kept.variance = (standardDeviation ?? 0) ** 2 / Math.max(1, count)
  }

  has(channel: number): boolean {
    return !Number.isNaN(this.kept[channel]?.lastMs ?? Number.NaN)
  }

  /** The newest zero; NaN before the first. */
  newest(channel: number): number {
    return this.kept[channel]?.mean ?? Number.NaN
  }

  /** How many changes are known: degrees of freedom of `change`, beside the papers' word. */
  changes(channel: number): number {
    return this.kept[channel]?.changes ?? 0
  }

  /** Variance of the newest zero's own mean: the scatter of its readings. */
  meanVariance(channel: number): number {
    return this.kept[channel]?.variance ?? 0
  }

  /**
   * Mean square of the change from one zero to the next. The papers' limit for a day counts as one change seen, so that the
   * first two zeros, alike by chance, do not promise a cell without drift; it is scaled to the time since the newest zero
   * by the square root, as an irregular drift grows. Our choice, no source.
   */
  meanSquareChange(channel: number, atMs: number, limitOfDay: number): number {
    const kept = this.kept[channel] as Kept
    const paper = (limitOfDay * limitOfDay * Math.max(0, atMs - kept.lastMs)) / dayMs
    return (paper + kept.squares) / (1 + kept.changes)
  }
}
