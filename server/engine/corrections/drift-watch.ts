import { durationMs } from '../../../protocols/words/time.ts'
import type { Check } from '../amendments.ts'
import type { StationFile } from '../settings/station-file.ts'
import { checkStretches } from './check-stretches.ts'
import { DriftJournal } from './drift-journal.ts'
import { DriftLimit } from './drift-limit.ts'
import { longestHoldMs } from './longest-hold.ts'
import type { EndedPurge } from './zero.ts'
import { isZeroable } from './zeroable.ts'

/** Holds zeros in succession against the limit of drift; what checks say is known from the start. */
export class DriftWatch {
  readonly limit: DriftLimit
  readonly journal: DriftJournal
  /** 1 where zeros are judged: averages then stand only once the next zero is known. */
  readonly judged: Uint8Array
  private readonly station: StationFile
  private readonly newest: Float64Array
  private readonly newestEndMs: Float64Array

  constructor(station: StationFile, checks: readonly Check[]) {
    this.station = station
    this.limit = new DriftLimit(station, checks)
    const longestMs = Math.max(
      0,
      ...station.averaging.blocks.concat(station.averaging.rolling).map((text) => durationMs(text) ?? 0),
    )
    this.journal = new DriftJournal(checkStretches(station, checks, this.limit), longestMs + longestHoldMs)
    this.judged = Uint8Array.from(station.channels, (_, index) =>
      Number(isZeroable(station, index) && this.limit.judgesPurges(index)),
    )
    this.newest = new Float64Array(station.channels.length).fill(Number.NaN)
    this.newestEndMs = new Float64Array(station.channels.length).fill(Number.NaN)
  }

  /** A zero was found. How far it lies from the one before, as text, where that is beyond the limit; null otherwise. */
  zero(channel: number, mean: number, { startMs, endMs }: EndedPurge): string | null {
    if (this.judged[channel] !== 1) return null
    const difference = mean - (this.newest[channel] as number)
    const fromMs = this.newestEndMs[channel] as number
    this.newest[channel] = mean
    this.newestEndMs[channel] = endMs
    if (!this.limit.isBeyond(channel, difference) || Number.isNaN(difference)) return null
    this.journal.note({ channel, fromMs, toMs: startMs, reason: this.limit.reason })
    return this.limit.text(channel, difference, this.station.channels[channel]?.unit ?? '')
  }
}
