import { countFlag } from '../../protocols/words/count-flags.ts'
import type { Amendments, Exclusion } from './amendments.ts'
import type { StationFile } from './settings/station-file.ts'

interface Stretch {
  readonly fromMs: number
  readonly toMs: number
  /** By the station's channel index. */
  readonly channels: readonly number[]
}

/**
 * The stretches that an operator took out of the averages. A reading whose time lies in one is taken out with all the time
 * that it represents; it gives no zero either. Few stretches are told in a run, so each is looked at.
 */
export class Exclusions {
  private readonly stretches: readonly Stretch[]

  private constructor(stretches: readonly Stretch[]) {
    this.stretches = stretches
  }

  /** null where nothing was excluded: then a reading costs one comparison. */
  static of(station: StationFile, { exclusions }: Amendments): Exclusions | null {
    if (exclusions.length === 0) return null
    return new Exclusions(
      exclusions.map((told) => ({ fromMs: told.fromMs, toMs: told.toMs, channels: excludedChannels(station, told) })),
    )
  }

  /** Marks what would count of a reading at `at`; of `channels`, the indexes of its stream. */
  mark(at: number, channels: readonly number[], flags: Uint8Array): void {
    for (const stretch of this.stretches) {
      if (at < stretch.fromMs || at >= stretch.toMs) continue
      for (const index of stretch.channels)
        if (flags[index] === countFlag.counts && channels.includes(index)) flags[index] = countFlag.excluded
    }
  }

  /** Whether a stretch of one of these channels lies within [fromMs, toMs), in part at least. */
  touches(channels: readonly number[], fromMs: number, toMs: number): boolean {
    return this.stretches.some(
      (stretch) =>
        stretch.fromMs < toMs && stretch.toMs > fromMs && channels.some((index) => stretch.channels.includes(index)),
    )
  }
}

/** The channels that an exclusion means, with the sums that a channel is a member of. */
function excludedChannels(station: StationFile, { stream, channel }: Pick<Exclusion, 'stream' | 'channel'>): number[] {
  const isMeant = (id: string, own: string | undefined): boolean =>
    (channel === null || channel === id) && (stream === null || stream === own)
  const meant = new Set(station.channels.filter(({ id, stream: own }) => isMeant(id, own)).map(({ id }) => id))
  return station.channels.flatMap(({ id, sumOf }, index) =>
    meant.has(id) || sumOf?.some((member) => meant.has(member)) ? [index] : [],
  )
}
