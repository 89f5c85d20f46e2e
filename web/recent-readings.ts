import type { ReadingState } from '../protocols/live/messages.ts'

/** Readings kept for what looks back a few seconds: 20 s of ten a second. */
const mostKept = 200

export interface Extremes {
  readonly low: number
  readonly high: number
}

/** Lowest and highest of each channel, as read, of what arrived in [fromMs, toMs]. Holds no reading. */
export class ValueWindow {
  private readonly seen = new Map<string, Extremes>()
  constructor(
    private readonly fromMs: number,
    readonly toMs: number,
  ) {}

  take({ arrivedMs, atMs, values }: ReadingState): void {
    const at = arrivedMs ?? atMs
    if (at < this.fromMs || at > this.toMs) return
    for (const [channel, { asRead }] of Object.entries(values)) {
      if (asRead === null) continue
      const before = this.seen.get(channel)
      this.seen.set(channel, {
        low: Math.min(asRead, before?.low ?? asRead),
        high: Math.max(asRead, before?.high ?? asRead),
      })
    }
  }
  of(channel: string): Extremes | null {
    return this.seen.get(channel) ?? null
  }
}

/** The newest few readings, so that a window can begin before it is opened. */
export class RecentReadings {
  private readonly kept: ReadingState[] = []
  private windows: ValueWindow[] = []

  push(reading: ReadingState): void {
    this.kept.push(reading)
    if (this.kept.length > mostKept) this.kept.shift()
    for (const window of this.windows) window.take(reading)
  }
  /** Goes on taking readings until its end. */
  open(fromMs: number, toMs: number): ValueWindow {
    const window = new ValueWindow(fromMs, toMs)
    for (const reading of this.kept) window.take(reading)
    this.windows = [...this.windows.filter((other) => other.toMs >= fromMs), window]
    return window
  }
}
