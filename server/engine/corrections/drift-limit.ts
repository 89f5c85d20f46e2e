import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { Check } from '../amendments.ts'
import type { StationFile } from '../settings/station-file.ts'

/**
 * Whether two answers of a channel to the same gas lie too far apart, by the station's `corrections.drift`.
 *
 * Differences in the channel's unit. A channel for which nothing tells what 100 % is, is not judged.
 * Source: US EPA Method 7E (drift 3 %, bias 5 % of the calibration span, or 0.5 ppm), EN 14792 and EN 15058 (2 % and 5 % of
 * the span gas), all from memory: the figures are settings.
 */
export class DriftLimit {
  private readonly settings: StationFile['corrections']['drift']
  /** What 100 % is, by the station's channel index; NaN where nothing tells. */
  private readonly bases: Float64Array
  private readonly told: Float64Array

  constructor(station: StationFile, checks: readonly Check[]) {
    this.settings = station.corrections.drift
    this.told = Float64Array.from(station.channels, (_, index) => toldBase(station, index))
    this.bases = this.told.map((base, index) => (Number.isNaN(base) ? checkedBase(station, index, checks) : base))
  }

  get reason(): BlockReason {
    return this.settings?.beyond === 'remark' ? 'drift_noted' : 'drift_beyond_limit'
  }

  judges(channel: number): boolean {
    return this.settings !== undefined && !Number.isNaN(this.bases[channel] as number)
  }

  /** Whether the zeros of purges are judged: only by what the station file tells, since a span check may come long after them. */
  judgesPurges(channel: number): boolean {
    return !Number.isNaN(this.told[channel] as number)
  }

  isBeyond(channel: number, difference: number): boolean {
    return this.passes(channel, difference, this.settings?.limitPercent) === false
  }

  isBiased(channel: number, difference: number): boolean {
    return this.passes(channel, difference, this.settings?.biasPercent) === false
  }

  /** Whether a drift is large enough to be corrected; always where no limit says otherwise. */
  isCorrected(channel: number, difference: number): boolean {
    const least = this.settings?.correctAbovePercent ?? 0
    return !this.judges(channel) || Math.abs(difference) > (least / 100) * (this.bases[channel] as number)
  }

  /** A difference as text: `6.2 % of 100 ppm`. */
  text(channel: number, difference: number, unit: string): string {
    const base = this.bases[channel] as number
    return `${Number(((100 * Math.abs(difference)) / base).toPrecision(3))} % of ${base} ${unit}`
  }

  /** null: not judged. A tiny excess by rounding of binary numbers is none. */
  private passes(channel: number, difference: number, percent: number | undefined): boolean | null {
    if (percent === undefined || !this.judges(channel)) return null
    const allowed = Math.max((percent / 100) * (this.bases[channel] as number), this.settings?.orWithin ?? 0)
    return Math.abs(difference) <= allowed * (1 + 1e-12)
  }
}

/** What 100 % of drift is for a channel by the station file: what it says, or the range where that is asked for. */
function toldBase(station: StationFile, index: number): number {
  const channel = station.channels[index]
  const { drift } = station.corrections
  if (!channel || !drift) return Number.NaN
  const said = drift.bases[channel.id]
  if (said !== undefined) return said
  return drift.of === 'range' && channel.range ? channel.range[1] - channel.range[0] : Number.NaN
}

/** The gas of the last span check. */
const checkedBase = (station: StationFile, index: number, checks: readonly Check[]): number =>
  station.corrections.drift?.of === 'span-gas'
    ? (checks.findLast(({ kind, channel }) => kind === 'span' && channel === station.channels[index]?.id)?.expected ??
      Number.NaN)
    : Number.NaN
