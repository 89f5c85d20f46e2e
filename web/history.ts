import type { SeriesAnswer } from '../protocols/live/requests.ts'

/** What a chart draws: lowest and highest value of each pixel column, in seconds since 1970; null breaks the line. */
export interface Picture {
  readonly x: number[]
  readonly y: (number | null)[]
}

/**
 * The bounded past of one stream for the charts: rows in time order, each `[at, until)` with the lowest and highest
 * value per channel, NaN where a channel has none. Columns are allocated once. When they are full, rows before the
 * window go; if that frees nothing, neighbours are folded into one with their extremes kept.
 */
export class StreamHistory {
  private readonly at: Float64Array
  private readonly until: Float64Array
  private readonly low: Float64Array[]
  private readonly high: Float64Array[]
  private rows = 0

  constructor(
    readonly channels: readonly string[],
    private readonly stepMs: number,
    private readonly capacity = 4096,
  ) {
    this.at = new Float64Array(capacity)
    this.until = new Float64Array(capacity)
    this.low = channels.map(() => new Float64Array(capacity))
    this.high = channels.map(() => new Float64Array(capacity))
  }

  get length(): number {
    return this.rows
  }
  get lastAt(): number {
    return this.rows ? (this.at[this.rows - 1] ?? 0) : Number.NEGATIVE_INFINITY
  }

  clear(): void {
    this.rows = 0
  }

  /**
   * Takes a down-sampled stretch in place of everything, or, with `keepsNewer`, of all that it reaches to: what came since it was
   * asked for, or was not stored yet, stays behind it. Columns in which no channel has a value are gaps: no row.
   */
  load(answer: SeriesAnswer, keepsNewer = false): void {
    const newer = keepsNewer ? this.rowsFrom(this.endOf(answer)) : []
    this.clear()
    answer.atMs.forEach((at, index) => {
      const values = this.channels.map((id) => answer.channels[id])
      if (values.every((column) => (column?.low[index] ?? null) === null)) return
      // The last column ends where the answer does, so that readings after it are new.
      const until = Math.max(at + this.stepMs, Math.min(at + answer.columnMs, answer.toMs))
      this.append(
        at,
        until,
        (channel) => values[channel]?.low[index] ?? null,
        (channel) => values[channel]?.high[index] ?? null,
      )
    })
    for (const { at, until, low, high } of newer)
      this.append(
        at,
        until,
        (channel) => low[channel] ?? null,
        (channel) => high[channel] ?? null,
      )
  }

  /** Where the last column of an answer ends that has a value. */
  private endOf(answer: SeriesAnswer): number {
    const last = answer.atMs.findLastIndex((_, index) =>
      this.channels.some((id) => (answer.channels[id]?.low[index] ?? null) !== null),
    )
    return last < 0 ? Number.NEGATIVE_INFINITY : Math.min((answer.atMs[last] ?? 0) + answer.columnMs, answer.toMs)
  }

  /** Copies of the rows that begin at `fromMs` or later. */
  private rowsFrom(fromMs: number): { at: number; until: number; low: number[]; high: number[] }[] {
    const rows = []
    for (let row = 0; row < this.rows; row++) {
      const at = this.at[row] ?? 0
      if (at < fromMs) continue
      const of = (columns: readonly Float64Array[]) => columns.map((column) => column[row] ?? Number.NaN)
      rows.push({ at, until: this.until[row] ?? at, low: of(this.low), high: of(this.high) })
    }
    return rows
  }

  /** Adds one reading; what is not later than the last row is already there. `keepFromMs`: older rows may go. */
  push(atMs: number, value: (channel: string) => number | null, keepFromMs: number): void {
    const last = this.rows - 1
    if (atMs <= this.lastAt || (this.rows > 0 && atMs < (this.until[last] ?? 0) - this.stepMs)) return
    if (this.rows === this.capacity) this.makeRoom(keepFromMs)
    const read = (channel: number) => value(this.channels[channel] ?? '')
    this.append(atMs, atMs + this.stepMs, read, read)
  }

  private append(
    at: number,
    until: number,
    low: (channel: number) => number | null,
    high: (channel: number) => number | null,
  ): void {
    if (this.rows === this.capacity) this.makeRoom(Number.NEGATIVE_INFINITY)
    const row = this.rows++
    this.at[row] = at
    this.until[row] = until
    for (let channel = 0; channel < this.channels.length; channel++) {
      this.write(channel, row, low(channel) ?? Number.NaN, high(channel) ?? Number.NaN)
    }
  }
  private write(channel: number, row: number, low: number, high: number): void {
    const [lows, highs] = [this.low[channel], this.high[channel]]
    if (!lows || !highs) return
    lows[row] = low
    highs[row] = high
  }

  private makeRoom(keepFromMs: number): void {
    let first = 0
    while (first < this.rows && (this.until[first] ?? 0) < keepFromMs) first++
    if (first >= this.capacity / 8) {
      for (const column of [this.at, this.until, ...this.low, ...this.high]) column.copyWithin(0, first, this.rows)
      this.rows -= first
    } else this.fold()
  }

  /** Two neighbouring rows become one, but never across a gap and never a value with none. */
  private fold(): void {
    let kept = 0
    for (let row = 0; row < this.rows; row++) {
      const next = row + 1
      const joins =
        next < this.rows &&
        !this.isGap(row) &&
        this.channels.every(
          (_, channel) => Number.isNaN(this.low[channel]?.[row]) === Number.isNaN(this.low[channel]?.[next]),
        )
      this.at[kept] = this.at[row] ?? 0
      this.until[kept] = this.until[joins ? next : row] ?? 0
      for (let channel = 0; channel < this.channels.length; channel++) {
        const [low, high] = [this.low[channel]?.[row] ?? Number.NaN, this.high[channel]?.[row] ?? Number.NaN]
        this.write(
          channel,
          kept,
          joins ? Math.min(low, this.low[channel]?.[next] ?? low) : low,
          joins ? Math.max(high, this.high[channel]?.[next] ?? high) : high,
        )
      }
      kept++
      if (joins) row++
    }
    // Nothing but gaps: the oldest half goes, so that there is room in any case.
    if (kept === this.capacity) {
      const first = this.capacity >> 1
      for (const column of [this.at, this.until, ...this.low, ...this.high]) column.copyWithin(0, first, kept)
      kept -= first
    }
    this.rows = kept
  }

  /** Whether time without a reading follows a row: more than half a step beyond what it represents. */
  private isGap(row: number): boolean {
    return (this.at[row + 1] ?? 0) > (this.until[row] ?? 0) + this.stepMs / 2
  }

  /** The window as at most two points per pixel column. Gaps and missing values that show break the line; extremes stay. */
  picture(channel: string, fromMs: number, toMs: number, pixels: number): Picture {
    const index = this.channels.indexOf(channel)
    const [low, high] = [this.low[index], this.high[index]]
    const picture: Picture = { x: [], y: [] }
    if (!low || !high || toMs <= fromMs) return picture
    const columnMs = (toMs - fromMs) / Math.max(1, pixels)
    const add = (ms: number, value: number | null) => {
      picture.x.push(Math.max(ms / 1000, picture.x.at(-1) ?? Number.NEGATIVE_INFINITY))
      picture.y.push(value)
    }
    let open: { start: number; low: number; high: number } | null = null
    let seenUntil = Number.NaN
    const close = () => {
      if (!open) return
      // The end that is nearer to where the line stands comes first: a steep edge shows as one, not as a zigzag.
      const before = picture.y.at(-1) ?? open.low
      const [first, second] =
        Math.abs(before - open.high) < Math.abs(before - open.low) ? [open.high, open.low] : [open.low, open.high]
      add(open.start, first)
      if (second !== first) add(open.start + columnMs / 2, second)
      open = null
    }
    for (let row = 0; row < this.rows; row++) {
      const at = this.at[row] ?? 0
      const until = this.until[row] ?? at
      const lowest = low[row] ?? Number.NaN
      if (until < fromMs - columnMs || at > toMs || Number.isNaN(lowest)) continue
      const highest = high[row] ?? lowest
      const missing = at - seenUntil
      if (missing > this.stepMs / 2 && missing >= columnMs) {
        close()
        add(seenUntil, null)
      }
      // A row narrower than a pixel joins its column; a wider one stands where it is.
      const start = until - at >= columnMs ? at : fromMs + Math.floor((at - fromMs) / columnMs) * columnMs
      if (open && open.start !== start) close()
      open = open
        ? { start, low: Math.min(open.low, lowest), high: Math.max(open.high, highest) }
        : { start, low: lowest, high: highest }
      seenUntil = until
    }
    close()
    return picture
  }

  /** The window in equal steps, for a table: lowest and highest of each; null where no line gave a value. */
  steps(channel: string, fromMs: number, toMs: number, stepMs: number): ({ low: number; high: number } | null)[] {
    const index = this.channels.indexOf(channel)
    const [low, high] = [this.low[index], this.high[index]]
    const found: ({ low: number; high: number } | null)[] = Array.from(
      { length: Math.ceil((toMs - fromMs) / stepMs) },
      () => null,
    )
    for (let row = 0; row < this.rows; row++) {
      const [at, until] = [this.at[row] ?? 0, this.until[row] ?? 0]
      const lowest = low?.[row] ?? Number.NaN
      if (Number.isNaN(lowest) || until <= fromMs || at >= toMs) continue
      const highest = high?.[row] ?? lowest
      // A row that reaches over several steps says the same of each.
      const last = Math.min(found.length - 1, Math.ceil((until - fromMs) / stepMs) - 1)
      for (let step = Math.max(0, Math.floor((at - fromMs) / stepMs)); step <= last; step++) {
        const before = found[step]
        found[step] = { low: Math.min(lowest, before?.low ?? lowest), high: Math.max(highest, before?.high ?? highest) }
      }
    }
    return found
  }

  /** Stretches of the window without any line that are at least so long, from the first row to the last. */
  gaps(fromMs: number, toMs: number, leastMs: number): { startMs: number; endMs: number }[] {
    const found: { startMs: number; endMs: number }[] = []
    for (let row = 0; row + 1 < this.rows; row++) {
      const [startMs, endMs] = [this.until[row] ?? 0, this.at[row + 1] ?? 0]
      if (this.isGap(row) && endMs - startMs >= leastMs && endMs > fromMs && startMs < toMs)
        found.push({ startMs, endMs })
    }
    return found
  }
}
