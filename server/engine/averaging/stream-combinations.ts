import type { EngineContext } from '../context.ts'
import type { Accumulator } from './accumulator.ts'
import type { AverageSet, DueRows } from './average-set.ts'
import type { Group } from './average-values.ts'
import type { CrossStreamMinutes } from './cross-stream.ts'
import type { JoinedAverages } from './joined-averages.ts'

const nothing: readonly DueRows[] = []

/** The averages across streams of all combinations that a station needs, and who came too late to be joined. */
export class StreamCombinations implements JoinedAverages {
  private readonly context: EngineContext
  /** One for each combination of streams. */
  private readonly combinations: readonly CrossStreamMinutes[]
  private readonly longestLagMinutes: number
  /** Streams whose newest minute came too late. */
  private readonly late = new Set<string>()

  constructor(context: EngineContext, combinations: readonly CrossStreamMinutes[], longestLagMinutes: number) {
    this.context = context
    this.combinations = combinations
    this.longestLagMinutes = longestLagMinutes
  }

  minute(stream: string, startMs: number, minute: Accumulator, groups: readonly Group[], runStartMs: number): void {
    let isJoined = true
    for (const combination of this.combinations)
      if (!combination.minute(stream, startMs, minute, groups, runStartMs)) isJoined = false
    if (isJoined) this.late.delete(stream)
    else this.tellLate(stream, startMs)
  }

  /** What was formed without it stays as it is: a row that is final is not told again. */
  private tellLate(stream: string, startMs: number): void {
    if (this.late.has(stream)) return
    this.late.add(stream)
    const from = new Date(startMs).toISOString()
    this.context.outputs.push({
      ...{ kind: 'notice', code: 'joined_without', stream, channel: null, atMs: this.context.nowMs },
      text: `readings from ${from} on came ${this.longestLagMinutes / 60} h or more after those of the other instruments: they count in the averages of their own instrument, not in those across instruments`,
    })
  }

  finished(): readonly DueRows[] {
    // Asked with each line; mostly there is nothing, and one combination.
    let rows = nothing
    for (const combination of this.combinations) {
      const due = combination.finished()
      if (due.length > 0) rows = rows.length > 0 ? [...rows, ...due] : due
    }
    return rows
  }

  endRun(endOf: ReadonlyMap<string, number>): readonly DueRows[] {
    this.late.clear()
    return this.combinations.flatMap((combination) => combination.endRun(endOf))
  }

  openRows(): ReturnType<AverageSet['openRows']> {
    return this.combinations.flatMap((combination) => combination.openRows())
  }
}
