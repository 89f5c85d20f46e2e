import type { Accumulator } from './accumulator.ts'
import type { AverageSet, DueRows } from './average-set.ts'
import type { Group } from './average-values.ts'

/** Averages across streams, as the streams and the station see them: minutes go in, finished rows come out. */
export interface JoinedAverages {
  /** A stream's minute is finished; the accumulator is only lent. `runStartMs`: where the stream's run began. */
  minute(stream: string, startMs: number, minute: Accumulator, groups: readonly Group[], runStartMs: number): void
  /** Rows of the minutes that every stream of a combination has finished. */
  finished(): readonly DueRows[]
  /** `endOf`: where the run ended in each stream, on the clock that keys its readings; a stream without a reading has none. */
  endRun(endOf: ReadonlyMap<string, number>): readonly DueRows[]
  openRows(): ReturnType<AverageSet['openRows']>
}
