import type { RunAverage } from '../settings/long-averages-shape.ts'
import { Accumulator, remark } from './accumulator.ts'
import type { RowContext } from './row-context.ts'
import { averageRows } from './rows.ts'
import type { RunResult } from './test-of-runs.ts'

/** The average over a whole run: of its readings, not of its blocks. Its validity has a rule of its own. */
export class RunTotal {
  private readonly context: RowContext
  private readonly asOfRun: (rows: RowContext, fromMs: number, toMs: number) => RowContext
  private readonly startMs: number
  private readonly total: Accumulator
  /** Time of the run in plant state running, ms. */
  private runningMs = 0

  /** `asOfRun`: what the rows are made of instead, once the run's end is known. */
  constructor(
    context: RowContext,
    rule: Exclude<RunAverage, 'none'>,
    startMs: number,
    laneStart: Int32Array,
    asOfRun: (rows: RowContext, fromMs: number, toMs: number) => RowContext = (rows) => rows,
  ) {
    this.asOfRun = asOfRun
    this.context = { ...context, rule }
    this.startMs = startMs
    this.total = new Accumulator(laneStart)
  }

  /** A finished minute, and how long the plant ran in the part of it that belongs to the run. */
  take(minute: Accumulator, runningMs: number): void {
    this.total.merge(minute, 0)
    this.runningMs += runningMs
  }

  /** What the run gives, value by value; once, at its end. */
  results(endMs: number): RunResult[] {
    const { total, startMs } = this
    const context = this.asOfRun(this.context, startMs, endMs)
    // A run is whole: that it began and ended is nothing to remark.
    total.remarks &= ~(remark.runStarted | remark.runEnded)
    const rows = averageRows(context, total, { startMs, endMs }, endMs - startMs, this.runningMs, 'final', 'run')
    return rows.map((row, place) => {
      const value = context.values[place]
      const detection = value && context.judgements.get(value)?.detection
      return { row, detectionLimit: detection?.limitIn(total) ?? null }
    })
  }
}
