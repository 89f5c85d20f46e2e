/** How many of the newest lines are kept to be held against what comes after a reconnect. */
const kept = 64

/**
 * Finds lines that an instrument sends again after a reconnect: byte-equal and in order with the last lines before it.
 * Anywhere else an equal line is a reading like any other (docs/calculations.md).
 */
export class DuplicateWatch {
  private readonly lines: (Uint8Array | undefined)[] = new Array(kept)
  private next = 0
  private stored = 0
  private matching = -1
  private armed = false

  /** The link opened again: what comes now may be a repetition. */
  reconnected(): void {
    this.armed = this.stored > 0
    this.matching = -1
  }

  /** Whether this line repeats one. A line that does not ends the comparing. */
  isDuplicate(bytes: Uint8Array): boolean {
    if (this.armed) {
      if (this.matching < 0) {
        for (let index = 0; index < this.stored; index++) {
          if (this.equals(index, bytes)) {
            this.matching = index
            break
          }
        }
      }
      if (this.matching >= 0 && this.matching < this.stored && this.equals(this.matching, bytes)) {
        this.matching++
        return true
      }
      this.armed = false
    }
    this.lines[this.next] = bytes
    this.next = (this.next + 1) % kept
    if (this.stored < kept) this.stored++
    return false
  }

  /** `index` counts from the oldest kept line. */
  private equals(index: number, bytes: Uint8Array): boolean {
    const line = this.lines[(this.next - this.stored + index + 2 * kept) % kept]
    if (!line || line.length !== bytes.length) return false
    for (let at = 0; at < bytes.length; at++) if (line[at] !== bytes[at]) return false
    return true
  }
}
