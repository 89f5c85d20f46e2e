/**
 * Readings that wait to be averaged: until the next line tells what they represent and, where phases come from signals,
 * until the hold-back has passed. A ring of columns; it grows to what the hold-back needs and no further.
 */
export class PendingReadings {
  /** When the oldest is to be released: nothing can take it back, and what it represents is known. Infinity when empty. */
  dueMs = Number.POSITIVE_INFINITY
  /** Of the reading taken last: its time, the end of what it represents (NaN where no line followed in time), its dilution factor. */
  takenMs = Number.NaN
  takenUntilMs = Number.NaN
  takenFactor = Number.NaN
  private readonly channels: number
  private readonly holdBackMs: number
  private readonly gapMs: number
  private capacity = 8
  private head = 0
  private length = 0
  private atMs = new Float64Array(this.capacity)
  private untilMs = new Float64Array(this.capacity)
  private factor = new Float64Array(this.capacity)
  private values: Float64Array
  private flags: Uint8Array

  /** `holdBackMs`: so long a reading may be taken back. `gapMs`: the next line ends what it represents if it comes within this time. */
  constructor(channels: number, holdBackMs: number, gapMs: number) {
    this.channels = channels
    this.holdBackMs = holdBackMs
    this.gapMs = gapMs
    this.values = new Float64Array(this.capacity * channels)
    this.flags = new Uint8Array(this.capacity * channels)
  }

  get size(): number {
    return this.length
  }

  push(atMs: number, values: Float64Array, flags: Uint8Array, factor: number): void {
    if (this.length === this.capacity) this.grow()
    const slot = (this.head + this.length) & (this.capacity - 1)
    this.atMs[slot] = atMs
    this.untilMs[slot] = Number.NaN
    this.factor[slot] = factor
    const { channels, values: keptValues, flags: keptFlags } = this
    const start = slot * channels
    for (let channel = 0; channel < channels; channel++) {
      keptValues[start + channel] = values[channel] as number
      keptFlags[start + channel] = flags[channel] as number
    }
    this.length++
    if (this.length === 1) this.findDue()
  }

  /** Tells what the newest represents. */
  endNewest(untilMs: number): void {
    if (this.length === 0) return
    const slot = (this.head + this.length - 1) & (this.capacity - 1)
    if (Number.isNaN(this.untilMs[slot] as number)) this.untilMs[slot] = untilMs
    if (this.length === 1) this.findDue()
  }

  private findDue(): void {
    const { head } = this
    const at = this.atMs[head] as number
    if (this.length === 0) this.dueMs = Number.POSITIVE_INFINITY
    else if (Number.isNaN(this.untilMs[head] as number))
      this.dueMs = Math.max(at + this.holdBackMs, at + this.gapMs + 1)
    else this.dueMs = at + this.holdBackMs
  }

  /** Takes the oldest out; `takenMs` and its like tell the rest of it. */
  take(values: Float64Array, flags: Uint8Array): void {
    const { head, channels, values: keptValues, flags: keptFlags } = this
    this.takenMs = this.atMs[head] as number
    this.takenUntilMs = this.untilMs[head] as number
    this.takenFactor = this.factor[head] as number
    const start = head * channels
    for (let channel = 0; channel < channels; channel++) {
      values[channel] = keptValues[start + channel] as number
      flags[channel] = keptFlags[start + channel] as number
    }
    this.head = (this.head + 1) & (this.capacity - 1)
    this.length--
    this.findDue()
  }

  private grow(): void {
    const { capacity, head, channels } = this
    const move = <A extends Float64Array | Uint8Array>(from: A, to: A, width: number): A => {
      for (let index = 0; index < capacity; index++) {
        const old = (head + index) % capacity
        to.set(from.subarray(old * width, (old + 1) * width), index * width)
      }
      return to
    }
    this.atMs = move(this.atMs, new Float64Array(capacity * 2), 1)
    this.untilMs = move(this.untilMs, new Float64Array(capacity * 2), 1)
    this.factor = move(this.factor, new Float64Array(capacity * 2), 1)
    this.values = move(this.values, new Float64Array(capacity * 2 * channels), channels)
    this.flags = move(this.flags, new Uint8Array(capacity * 2 * channels), channels)
    this.head = 0
    this.capacity = capacity * 2
  }
}
