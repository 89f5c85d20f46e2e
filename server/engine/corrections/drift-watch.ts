import { durationMs } from '../../../protocols/words/time.ts'
import type { Check } from '../amendments.ts'
import type { StationFile } from '../settings/station-file.ts'
import { checkStretches } from './check-stretches.ts'
import { DriftJournal } from './drift-journal.ts'
import { DriftLimit } from './drift-limit.ts'
import { longestHoldMs } from './longest-hold.ts'
import type { EndedPurge } from './zero.ts'
import { isZeroable, isZeroed } from './zeroable.ts'

/**
 * Holds zeros against the limit of drift; what checks say is known from the start.
 *
 * A zero that is subtracted is held against the one before: what it moved by until then is corrected. Where none is subtracted,
 * each is held against the first of the run, since drift adds up in the values (US EPA Method 7E, section 8.5: the system's
 * response after a run against that before it; from memory).
 */
export class DriftWatch {
  readonly limit: DriftLimit
  readonly journal: DriftJournal
  /** 1 where zeros are judged: averages then stand only once the next zero is known. */
  readonly judged: Uint8Array
  private readonly station: StationFile
  /** The zero that the next is held against; NaN before the first. */
  private readonly against: Float64Array
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
    this.against = new Float64Array(station.channels.length).fill(Number.NaN)
    this.newestEndMs = new Float64Array(station.channels.length).fill(Number.NaN)
  }

  /** A zero was found. How far it moved and since when, as text, where that is beyond the limit; null otherwise. */
  zero(channel: number, mean: number, { startMs, endMs }: EndedPurge): string | null {
    if (this.judged[channel] !== 1) return null
    const { reason } = this.limit
    const isSubtracted = isZeroed(this.station, channel)
    const difference = mean - (this.against[channel] as number)
    const fromMs = this.newestEndMs[channel] as number
    this.newestEndMs[channel] = endMs
    if (isSubtracted || Number.isNaN(difference)) this.against[channel] = mean
    this.journal.close(channel, startMs)
    if (Number.isNaN(difference) || !this.limit.isBeyond(channel, difference)) return null
    this.journal.note({ channel, fromMs, toMs: startMs, reason })
    if (!isSubtracted) this.journal.begin({ channel, fromMs: startMs, reason })
    const moved = this.limit.text(channel, difference, this.station.channels[channel]?.unit ?? '')
    return `${moved} since ${isSubtracted ? 'the one before' : 'the first of the run'}`
  }
}
