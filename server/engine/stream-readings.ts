import { fieldFlag, type LineContent } from '../../protocols/instrument/reader.ts'
import { countFlag } from '../../protocols/words/count-flags.ts'
import type { MappedChannel } from './channel-map.ts'

/** Of this module's own: what belongs to another one is looked up anew each time, here for each reading. */
const { counts, absent, outOfRange, supportOutOfRange } = countFlag

const flagOfField: readonly number[] = (() => {
  const flags: number[] = []
  flags[fieldFlag.value] = counts
  flags[fieldFlag.missing] = countFlag.missing
  flags[fieldFlag.over] = countFlag.overRange
  flags[fieldFlag.under] = countFlag.underRange
  flags[fieldFlag.unreadable] = countFlag.unreadable
  flags[fieldFlag.absent] = absent
  return flags
})()

/**
 * Turns a line's fields into channel values and says of each whether it can count: token, range, supporting channels.
 *
 * `values`, `flags`: by the station's channel index, overwritten for this stream's channels only, so that supporting
 * channels of other streams keep their newest value until those fall silent. A fault of one cell invalidates its channel, not the stream.
 */
export function takeFields(
  channels: readonly MappedChannel[],
  content: LineContent,
  values: Float64Array,
  flags: Uint8Array,
): void {
  let restsOnOthers = false
  for (let at = 0; at < channels.length; at++) {
    const channel = channels[at] as MappedChannel
    if (channel.field < 0 || channel.needs.length > 0) restsOnOthers = true
    if (channel.field < 0) continue
    const value = content.values[channel.field] as number
    values[channel.index] = value
    flags[channel.index] =
      value >= channel.lowest && value <= channel.highest
        ? counts
        : Number.isNaN(value)
          ? (flagOfField[content.flags[channel.field] as number] ?? absent)
          : outOfRange
  }
  if (!restsOnOthers) return
  for (let at = 0; at < channels.length; at++) {
    const channel = channels[at] as MappedChannel
    if (channel.needs.length > 0 && flags[channel.index] === counts && !supported(channel, values))
      flags[channel.index] = supportOutOfRange
    if (channel.field < 0) takeSum(channel, values, flags)
  }
}

/** A supporting channel without a value supports nothing. */
function supported(channel: MappedChannel, values: Float64Array): boolean {
  for (const need of channel.needs) {
    const value = values[need.index] as number
    if (!(value >= need.low && value <= need.high)) return false
  }
  return true
}

function takeSum(channel: MappedChannel, values: Float64Array, flags: Uint8Array): void {
  let sum = 0
  let flag: number = counts
  for (const member of channel.members) {
    sum += (values[member.index] as number) * member.factor
    flag = flag || (flags[member.index] as number)
  }
  values[channel.index] = sum
  flags[channel.index] = flag
}

/** Where nobody knows by how much the sample is diluted, the cells that see it tell nothing, nor do sums with them. */
export function withoutDilution(channels: readonly MappedChannel[], flags: Uint8Array): void {
  for (const { index, field, isDiluted, members } of channels) {
    if (flags[index] !== counts) continue
    if (isDiluted || (field < 0 && members.some((member) => flags[member.index] !== counts)))
      flags[index] = supportOutOfRange
  }
}

/**
 * The instrument's corrections of one reading: zero, span factor, dilution, in this order, since the zero and the span are
 * the analyser's and the dilution lies before it. A sum is formed anew from its corrected members.
 * `into`: by the station's channel index. A channel without a zero yet is corrected by none.
 */
export function correctReading(
  channels: readonly MappedChannel[],
  raw: Float64Array,
  zero: Float64Array,
  dilution: number,
  into: Float64Array,
): void {
  for (let at = 0; at < channels.length; at++) {
    const channel = channels[at] as MappedChannel
    if (channel.field < 0) {
      let sum = 0
      for (const member of channel.members) sum += (into[member.index] as number) * member.factor
      into[channel.index] = sum
      continue
    }
    const { index } = channel
    const offset = zero[index] as number
    const value = raw[index] as number
    into[index] =
      (Number.isNaN(offset) ? value : value - offset) * channel.spanFactor * (channel.isDiluted ? dilution : 1)
  }
}
