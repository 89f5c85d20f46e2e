/**
 * What one source told, as steps in time: from each instant on, a value until the next. It forgets what lies before the
 * last reading that has been averaged, or what nobody asks about any more, so it holds few steps.
 */
export class Timeline<T> {
  private starts: number[] = [Number.NEGATIVE_INFINITY]
  private told: T[]

  constructor(initial: T) {
    this.told = [initial]
  }

  /** The value that holds at `ms`. */
  at(ms: number): T {
    for (let index = this.starts.length - 1; index > 0; index--)
      if ((this.starts[index] as number) <= ms) return this.told[index] as T
    return this.told[0] as T
  }

  get latest(): T {
    return this.told[this.told.length - 1] as T
  }

  /** The newest change at or before `ms`; −∞ where there was none. */
  changeBefore(ms: number): number {
    for (let index = this.starts.length - 1; index > 0; index--)
      if ((this.starts[index] as number) <= ms) return this.starts[index] as number
    return Number.NEGATIVE_INFINITY
  }

  /** The first change after `ms`; Infinity where none is known. */
  nextChange(ms: number): number {
    // Mostly the newest change is past, and what is asked about lies near it.
    let next = Number.POSITIVE_INFINITY
    for (let index = this.starts.length - 1; index >= 0 && (this.starts[index] as number) > ms; index--)
      next = this.starts[index] as number
    return next
  }

  /** From `ms` on, `value` holds; what was told for later is withdrawn. Returns whether anything changed. */
  set(ms: number, value: T): boolean {
    while (this.starts.length > 1 && (this.starts[this.starts.length - 1] as number) >= ms) {
      this.starts.pop()
      this.told.pop()
    }
    if (this.latest === value) return false
    this.starts.push(ms)
    this.told.push(value)
    return true
  }

  /** Forgets steps that ended at or before `ms`. */
  forget(ms: number): void {
    while (this.starts.length > 1 && (this.starts[1] as number) <= ms) {
      this.starts.shift()
      this.told.shift()
    }
  }
}
