import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { durationMs } from '../../../protocols/words/time.ts'
import { Accumulator, remark } from './accumulator.ts'
import type { Group } from './average-values.ts'
import type { BlockGrid, Period } from './grid.ts'
import { RollingWindow } from './rolling.ts'
import type { RowContext } from './row-context.ts'
import { averageRows, type StretchKind } from './rows.ts'
import { RunTotal } from './run-total.ts'
import type { RunResult } from './test-of-runs.ts'

const minuteMs = 60_000
const quarterMs = 900_000
const hourMs = 3_600_000
const nothing: readonly DueRows[] = []

/** A finished average that waits for its time to be published. */
export interface DueRows {
  readonly kind: 'block' | 'rolling'
  readonly dueMs: number
  readonly rows: readonly AverageRow[]
}

interface OpenBlock {
  readonly lengthMs: number
  period: Period
  total: Accumulator
  /** Minutes merged so far: the first's start and the last's end; NaN before the first. */
  coveredFromMs: number
  coveredToMs: number
}

/** A running block as far as its finished minutes go; not a copy: look, and keep nothing. */
export interface OpenBlockSoFar {
  readonly period: Period
  readonly total: Accumulator
  readonly denominatorMs: number
}

interface OpenWindow {
  readonly lengthMs: number
  readonly window: RollingWindow
}

export interface AverageSetOptions {
  readonly groups: readonly Group[]
  readonly context: RowContext
  readonly grid: BlockGrid
  readonly blocks: readonly string[]
  readonly rolling: readonly string[]
  /** How long after its end a stretch is final: the larger of 1.5 steps and the hold-back. */
  readonly finalAfterMs: number
  readonly runStartMs: number
  /** Time in plant state running within [from, to). */
  runningMs(fromMs: number, toMs: number): number
  /** What the rows of the whole run are made of, where it is another thing than for blocks: corrected by checks before and after. */
  runContext?: (rows: RowContext, fromMs: number, toMs: number) => RowContext
  /** Told of the averages over the whole run, when it ends. */
  onRun?: (results: readonly RunResult[]) => void
  /** Told of each finished minute, for averages across streams; the accumulator is overwritten afterwards. */
  onMinute?: (startMs: number, minute: Accumulator, runStartMs: number) => void
  /** Told after each finished minute, when blocks hold it. */
  onFinished?: (set: AverageSet) => void
}

/**
 * Blocks and rolling averages of one stream during one run, added up from one integral per minute.
 *
 * Readings come in order of time. Work per reading is constant; memory is that of the windows, whatever the run's length.
 */
export class AverageSet {
  private readonly options: AverageSetOptions
  private readonly blocks: OpenBlock[]
  private readonly windows: OpenWindow[]
  private minute: Accumulator
  private minuteStart = Number.NaN
  private minuteEnd = Number.NaN
  /** When something falls due: a minute to close or a row to publish; Infinity when nothing does. Kept: it is asked for with each line. */
  dueMs = Number.POSITIVE_INFINITY
  /** Where the open minute begins; −∞ while none is. */
  openMinuteStartMs = Number.NEGATIVE_INFINITY
  /** Since when no line followed; Infinity while they do. */
  private gapFromMs = Number.POSITIVE_INFINITY
  private queue: DueRows[] = []
  private newest: Accumulator
  private readonly run: RunTotal | null

  constructor(options: AverageSetOptions) {
    this.options = options
    const laneStart = new Int32Array(options.groups.length + 1)
    options.groups.forEach((group, index) => {
      laneStart[index + 1] = (laneStart[index] as number) + group.lanes.length
    })
    this.minute = new Accumulator(laneStart)
    this.newest = new Accumulator(laneStart)
    const { run } = options.context.station.averaging
    this.run =
      run === 'none' ? null : new RunTotal(options.context, run, options.runStartMs, laneStart, options.runContext)
    const length = (text: string) => durationMs(text) as number
    this.blocks = options.blocks.map((text) => ({
      lengthMs: length(text),
      period: { startMs: Number.NaN, endMs: Number.NaN },
      total: new Accumulator(laneStart),
      coveredFromMs: Number.NaN,
      coveredToMs: Number.NaN,
    }))
    this.windows = options.rolling.map((text) => ({
      lengthMs: length(text),
      window: new RollingWindow(length(text) / minuteMs, laneStart),
    }))
  }

  get groups(): readonly Group[] {
    return this.options.groups
  }

  get runStartMs(): number {
    return this.options.runStartMs
  }

  private findDue(): void {
    const queued = this.queue[0]?.dueMs ?? Number.POSITIVE_INFINITY
    const closing = Number.isNaN(this.minuteEnd) ? Number.POSITIVE_INFINITY : this.minuteEnd + this.options.finalAfterMs
    this.dueMs = Math.min(queued, closing)
  }

  /** The open minute, with the clock moved to the one that holds `ms`; closes what lies before it. */
  at(ms: number): Accumulator {
    if (!(ms < this.minuteEnd)) this.openMinute(ms)
    return this.minute
  }

  get openMinuteEndMs(): number {
    return this.minuteEnd
  }

  private openMinute(ms: number): void {
    const start = this.options.grid.minuteStart(ms)
    if (Number.isNaN(this.minuteStart)) {
      this.setMinute(start)
      return
    }
    while (this.minuteStart < start) this.closeMinute()
  }

  /** The block of this length that runs now; null before its first finished minute. */
  blockSoFar(lengthMs: number): OpenBlockSoFar | null {
    const block = this.blocks.find((candidate) => candidate.lengthMs === lengthMs)
    if (!block || Number.isNaN(block.period.startMs)) return null
    const { period, total, coveredFromMs, coveredToMs } = block
    return {
      period,
      total,
      denominatorMs: period.endMs - period.startMs - (coveredToMs - coveredFromMs - total.runningMs),
    }
  }

  /** The minute that was finished last; overwritten by the next. */
  get newestMinute(): Accumulator {
    return this.newest
  }

  get values(): RowContext['values'] {
    return this.options.context.values
  }

  private setMinute(start: number): void {
    this.minuteStart = start
    this.minuteEnd = start + minuteMs
    this.openMinuteStartMs = start
    this.minute.reset()
    this.findDue()
    if (this.gapFromMs < this.minuteEnd) this.minute.remarks |= remark.gap
  }

  /** No line followed in time: from `fromMs` on, every minute is one with a gap. */
  openGap(fromMs: number): void {
    this.gapFromMs = fromMs
    if (fromMs < this.minuteEnd) this.minute.remarks |= remark.gap
  }

  /** A line came again, at `atMs`, in the open minute; where it begins with it, the gap ended before. */
  closeGap(atMs: number): void {
    if (this.gapFromMs < atMs && atMs === this.minuteStart) this.minute.remarks &= ~remark.gap
    this.gapFromMs = Number.POSITIVE_INFINITY
  }

  private closeMinute(): void {
    const { minute, minuteStart, minuteEnd } = this
    minute.runningMs = this.options.runningMs(minuteStart, minuteEnd)
    this.options.onMinute?.(minuteStart, minute, this.options.runStartMs)
    for (const block of this.blocks) this.mergeInto(block, minuteStart, minuteEnd)
    this.takeIntoRun(minuteEnd)
    // A minute that the run did not fill is no complete minute of the grid.
    if (minuteStart >= this.options.runStartMs) {
      for (const { window, lengthMs } of this.windows) {
        window.push(minute)
        if (window.isFull)
          this.publish(
            'rolling',
            window.total(),
            { startMs: minuteEnd - lengthMs, endMs: minuteEnd },
            lengthMs,
            minuteEnd - lengthMs,
            minuteEnd,
          )
      }
    }
    // The finished minute becomes the newest; the one that was is emptied for the next.
    this.minute = this.newest
    this.newest = minute
    this.setMinute(minuteEnd)
    this.options.onFinished?.(this)
  }

  private takeIntoRun(untilMs: number): void {
    const { runStartMs } = this.options
    this.run?.take(this.minute, this.options.runningMs(Math.max(this.minuteStart, runStartMs), untilMs))
  }

  private mergeInto(block: OpenBlock, minuteStart: number, minuteEnd: number): void {
    if (!(minuteStart >= block.period.startMs && minuteStart < block.period.endMs)) {
      block.period = this.options.grid.block(block.lengthMs, minuteStart)
      block.total.reset()
      block.coveredFromMs = minuteStart
    }
    const quarter =
      block.lengthMs === hourMs ? 1 << Math.min(3, Math.floor((minuteStart - block.period.startMs) / quarterMs)) : 0
    block.total.merge(this.minute, quarter)
    block.coveredToMs = minuteEnd
    if (minuteEnd >= block.period.endMs) {
      this.publish('block', block.total, block.period, block.lengthMs, block.coveredFromMs, block.coveredToMs)
      block.period = { startMs: Number.NaN, endMs: Number.NaN }
    }
  }

  private publish(
    kind: 'block' | 'rolling',
    total: Accumulator,
    period: Period,
    lengthMs: number,
    coveredFromMs: number,
    coveredToMs: number,
  ): void {
    const rows = this.rows(total, period, lengthMs, coveredFromMs, coveredToMs, 'final', kind)
    this.queue.push({ kind, dueMs: period.endMs + this.options.finalAfterMs, rows })
    this.findDue()
  }

  private rows(
    total: Accumulator,
    period: Period,
    lengthMs: number,
    coveredFromMs: number,
    coveredToMs: number,
    state: 'open' | 'final',
    kind: StretchKind,
  ): AverageRow[] {
    if (period.startMs < this.options.runStartMs) total.remarks |= remark.runStarted
    // What lies outside the run keeps the whole block as denominator: the plant is taken to have run.
    const idleMs = coveredToMs - coveredFromMs - total.runningMs
    if (lengthMs === hourMs) {
      for (let quarter = 0; quarter < 4; quarter++) {
        const start = period.startMs + quarter * quarterMs
        if (start < coveredFromMs || start + quarterMs > coveredToMs) total.operatedQuadrants |= 1 << quarter
      }
    }
    return averageRows(
      this.options.context,
      total,
      period,
      lengthMs,
      period.endMs - period.startMs - idleMs,
      state,
      kind,
    )
  }

  /** Closes what the clock has passed and hands out what is due, in order. */
  advance(toMs: number): readonly DueRows[] {
    while (this.minuteEnd + this.options.finalAfterMs <= toMs) this.closeMinute()
    let due = 0
    while (due < this.queue.length && (this.queue[due] as DueRows).dueMs <= toMs) due++
    if (due === 0) return nothing
    const rows = this.queue.splice(0, due)
    this.findDue()
    return rows
  }

  /** The run ends: partial blocks are kept with the reason; everything becomes final. */
  end(endMs: number): DueRows[] {
    if (!Number.isNaN(this.minuteStart)) {
      while (this.minuteEnd <= endMs) this.closeMinute()
      this.minute.remarks |= remark.runEnded
      const { minuteStart, minuteEnd } = this
      const started = endMs > minuteStart
      // After the run's end the plant is taken to have run, so that the whole block stays the denominator.
      this.minute.runningMs = this.options.runningMs(minuteStart, endMs) + (minuteEnd - endMs)
      if (started) this.options.onMinute?.(minuteStart, this.minute, this.options.runStartMs)
      for (const block of this.blocks) {
        if (started) this.mergeInto(block, minuteStart, minuteEnd)
        if (Number.isNaN(block.period.startMs)) continue
        block.total.remarks |= remark.runEnded
        this.publish('block', block.total, block.period, block.lengthMs, block.coveredFromMs, block.coveredToMs)
      }
      if (started) this.takeIntoRun(endMs)
      if (this.run) {
        const results = this.run.results(endMs)
        this.queue.push({
          kind: 'block',
          dueMs: endMs + this.options.finalAfterMs,
          rows: results.map(({ row }) => row),
        })
        this.options.onRun?.(results)
      }
    }
    this.minuteStart = Number.NaN
    this.minuteEnd = Number.NaN
    this.openMinuteStartMs = Number.NEGATIVE_INFINITY
    const rest = this.queue
    this.queue = []
    this.findDue()
    return rest
  }

  /** Rows of the blocks that are open, as they would be if time stopped here. Copies: for screens, at most once a second. */
  openRows(): AverageRow[] {
    if (Number.isNaN(this.minuteStart)) return []
    return this.blocks.flatMap((block) => {
      const period = this.options.grid.block(block.lengthMs, this.minuteStart)
      const continues = period.startMs === block.period.startMs
      const total = continues ? block.total.copy() : new Accumulator(this.minute.laneStart)
      const quarter =
        block.lengthMs === hourMs ? 1 << Math.min(3, Math.floor((this.minuteStart - period.startMs) / quarterMs)) : 0
      const minute = this.minute.copy()
      minute.runningMs = this.options.runningMs(this.minuteStart, this.minuteEnd)
      total.merge(minute, quarter)
      return this.rows(
        total,
        period,
        block.lengthMs,
        continues ? block.coveredFromMs : this.minuteStart,
        this.minuteEnd,
        'open',
        'block',
      )
    })
  }
}
