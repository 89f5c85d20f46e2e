import type { BlockReason } from '../../../protocols/words/blocks.ts'
import type { AveragedValue } from '../averaging/average-values.ts'
import type { StationFile } from '../settings/station-file.ts'
import { type CrossSensitivity, type Part, sumsOf } from './cross-sensitivity.ts'
import type { DriftWatch } from './drift-watch.ts'

/** Which averages rest on which zeros, and what must be said of them for that. */
export class ZeroPlan {
  /** Whether averages wait for the next zero at all. */
  readonly holds: boolean
  readonly interpolates: boolean
  private readonly station: StationFile
  private readonly zeroed: Uint8Array
  private readonly cross: ReadonlyMap<string, CrossSensitivity>
  private readonly drift: DriftWatch

  constructor(
    station: StationFile,
    zeroed: Uint8Array,
    cross: ReadonlyMap<string, CrossSensitivity>,
    drift: DriftWatch,
  ) {
    this.station = station
    this.zeroed = zeroed
    this.cross = cross
    this.drift = drift
    this.interpolates = station.corrections.zero === 'interpolated' && zeroed.includes(1)
    this.holds = this.interpolates || drift.judged.includes(1)
  }

  /** The measured channels that a channel's corrected value rests on: members of a sum, gases that its cell also answers to. */
  parts(channel: number): readonly Part[] {
    const settings = this.station.channels[channel]
    if (settings?.sumOf)
      return (sumsOf(this.station).find((sum) => sum.channel === channel)?.members ?? []).flatMap((member) =>
        this.parts(member.channel).map((part) => ({ channel: part.channel, factor: part.factor * member.factor })),
      )
    return this.cross.get(settings?.stream ?? '')?.partsOf(channel) ?? [{ channel, factor: 1 }]
  }

  /** All channels that a value rests on by their readings. */
  private restsOn({ channel, quantity }: AveragedValue, inputs: readonly number[]): readonly number[] {
    if (quantity === 'as_read') return this.station.channels[channel]?.sumOf ? this.partChannels(channel) : [channel]
    return [...new Set([channel, ...inputs].flatMap((input) => this.partChannels(input)))]
  }

  private partChannels(channel: number): readonly number[] {
    return this.parts(channel).map((part) => part.channel)
  }

  /** Whether a value is provisional until the next zero is known. `inputs`: the channels that it is converted with. */
  isHeld(value: AveragedValue, inputs: readonly number[]): boolean {
    if (!this.holds) return false
    return this.restsOn(value, inputs).some(
      (channel) =>
        this.drift.judged[channel] === 1 ||
        (this.interpolates && value.quantity !== 'as_read' && this.zeroed[channel] === 1),
    )
  }

  /** Whether zeros are subtracted from any reading that a value rests on: not of one as read, nor of a cell that zeroes itself. */
  isSubtracted(value: AveragedValue, inputs: readonly number[]): boolean {
    return value.quantity !== 'as_read' && this.restsOn(value, inputs).some((channel) => this.zeroed[channel] === 1)
  }

  /** What an average of this value must say of zeros and checks; asked for each row. */
  reasons(value: AveragedValue, inputs: readonly number[]): (fromMs: number, toMs: number) => readonly BlockReason[] {
    const channels = this.restsOn(value, inputs)
    const { journal } = this.drift
    return value.quantity === 'as_read'
      ? (fromMs, toMs) => journal.reasons(channels, fromMs, toMs).filter((reason) => reason !== 'zero_not_followed')
      : (fromMs, toMs) => journal.reasons(channels, fromMs, toMs)
  }
}
