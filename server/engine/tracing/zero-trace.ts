import type { Check } from '../amendments.ts'
import type { ZeroFound } from '../corrections/zero.ts'
import type { TracedZero } from './traced.ts'

/**
 * The zeros of the channels that a traced average rests on: of those found before it the one in use at its start, those
 * within it, and the first after it, which the last readings of it may be corrected with.
 */
export class ZeroTrace {
  readonly found: TracedZero[] = []
  private readonly idOf: (channel: number) => string | null
  private readonly startMs: number
  private readonly endMs: number
  private readonly readings = new Map<number, { sequence: number; value: number }[]>()
  /** `atMs` of the zero that is subtracted now, by channel. */
  private readonly inUse = new Map<number, number>()

  /** idOf: the id of a channel that is followed; null of any other. */
  constructor(
    { startMs, endMs }: { readonly startMs: number; readonly endMs: number },
    idOf: (channel: number) => string | null,
  ) {
    this.startMs = startMs
    this.endMs = endMs
    this.idOf = idOf
  }

  /** A settled reading of a purge or zero that goes into a channel's zero. */
  reading(channel: number, sequence: number, value: number): void {
    if (this.idOf(channel) === null) return
    const readings = this.readings.get(channel)
    if (readings) readings.push({ sequence, value })
    else this.readings.set(channel, [{ sequence, value }])
  }

  /** The purge or zero is over. */
  taken({ channel, mean, standardDeviation, bounds, middleMs, count }: ZeroFound, atMs: number, isUsed: boolean): void {
    const readings = (this.readings.get(channel) ?? []).slice(-count)
    this.readings.delete(channel)
    if (isUsed) this.keep(channel, { atMs, middleMs, mean, standardDeviation, bounds, check: null, readings })
  }

  /** A zero that a check gave, told with the run. */
  checked(channel: number, mean: number, check: Check): void {
    const atMs = check.performedMs
    this.keep(channel, { atMs, middleMs: atMs, mean, standardDeviation: null, bounds: null, check, readings: [] })
  }

  private keep(channel: number, zero: Omit<TracedZero, 'channel'>): void {
    const id = this.idOf(channel)
    if (id === null) return
    const ofOne = (other: TracedZero): boolean => other.channel === id
    if (this.found.some((other) => ofOne(other) && other.atMs >= this.endMs)) return
    if (zero.atMs < this.startMs) {
      const earlier = this.found.findIndex(ofOne)
      if (earlier >= 0) this.found.splice(earlier, 1)
    }
    this.found.push({ channel: id, ...zero })
    this.inUse.set(channel, zero.atMs)
  }

  zeroOf(channel: number): number | null {
    return this.inUse.get(channel) ?? null
  }
}
