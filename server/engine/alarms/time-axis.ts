/** Something that happens at a set moment of one axis. `ring` is called with the moment that was set, never with a later one. */
export interface Timer {
  dueMs: number
  readonly ring: (dueMs: number) => void
}
export const newTimer = (ring: (dueMs: number) => void): Timer => ({ dueMs: Number.POSITIVE_INFINITY, ring })

/**
 * The timers of one clock: the station's, or a stream's own. They ring in due order, equal ones in the order in which
 * they were set, and each with its due time; so it does not matter how often or how late `advance` is called.
 */
export class TimeAxis {
  /** The earliest due time; Infinity when nothing is set. Cached: read it per event. */
  nextDueMs = Number.POSITIVE_INFINITY
  readonly #set: Timer[] = []

  set(timer: Timer, dueMs: number): void {
    if (timer.dueMs !== Number.POSITIVE_INFINITY) this.clear(timer)
    timer.dueMs = dueMs
    this.#set.push(timer)
    if (dueMs < this.nextDueMs) this.nextDueMs = dueMs
  }

  clear(timer: Timer): void {
    const place = this.#set.indexOf(timer)
    if (place < 0) return
    this.#set.splice(place, 1)
    const dueMs = timer.dueMs
    timer.dueMs = Number.POSITIVE_INFINITY
    if (dueMs === this.nextDueMs) this.#findNext()
  }

  /** Rings all that is due up to and including `toMs`. */
  advance(toMs: number): void {
    while (this.nextDueMs <= toMs) {
      const dueMs = this.nextDueMs
      const timer = this.#set.find((set) => set.dueMs === dueMs)
      if (!timer) return
      this.clear(timer)
      timer.ring(dueMs)
    }
  }

  #findNext(): void {
    let next = Number.POSITIVE_INFINITY
    for (const timer of this.#set) if (timer.dueMs < next) next = timer.dueMs
    this.nextDueMs = next
  }
}
