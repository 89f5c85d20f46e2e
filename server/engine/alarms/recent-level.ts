/** How far back the level looks, ms: long enough to even out a burner's hunting, short enough to follow a change of load. Our choice. */
const MEMORY_MS = 180_000

/**
 * The newest level of a value and its spread, both weighted by time with an exponentially fading memory of three
 * minutes. O(1) per value, no history. What does not count is not handed in, so a purge neither ages nor changes it.
 * Source: incremental weighted mean and variance (West 1979, from memory).
 */
export class RecentLevel {
  #mean = Number.NaN
  #variance = 0

  /** `representsMs`: the time that the value stands for, more than 0. */
  add(value: number, representsMs: number): void {
    if (Number.isNaN(value)) return
    if (Number.isNaN(this.#mean)) {
      this.#mean = value
      return
    }
    const share = 1 - Math.exp(-representsMs / MEMORY_MS)
    const step = value - this.#mean
    this.#mean += share * step
    this.#variance = (1 - share) * (this.#variance + share * step * step)
  }

  /** null before the first value. */
  get level(): number | null {
    return Number.isNaN(this.#mean) ? null : this.#mean
  }

  /** Standard deviation about the level; null before the first value. */
  get spread(): number | null {
    return Number.isNaN(this.#mean) ? null : Math.sqrt(this.#variance)
  }
}
