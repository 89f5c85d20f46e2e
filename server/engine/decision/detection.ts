import type { Detection } from '../../../protocols/words/blocks.ts'
import type { Accumulator } from '../averaging/accumulator.ts'
import { type AveragedValue, isPlain } from '../averaging/average-values.ts'
import type { StationFile } from '../settings/station-file.ts'

/** How a value of a channel with a detection limit is held against it. */
export interface DetectionPlan {
  /** The group whose readings are those of the channel alone, in its unit. */
  readonly group: number
  /** In the channel's unit. */
  readonly limit: number
  /** The same in the unit of the value, at the oxygen and moisture of the stretch; null where it cannot be told. */
  limitIn(total: Accumulator): number | null
}

/** How all parts of a result stand to the detection limit, from how each does. Source: EPA GD-51 (2009). */
export function combinedDetection(parts: readonly (Detection | null)[]): Detection | null {
  if (parts.length === 0 || parts.includes(null)) return null
  if (parts.every((part) => part === 'BDL')) return 'BDL'
  return parts.every((part) => part === 'ADL') ? 'ADL' : 'DLL'
}

/** `ADL`: no reading below the limit. `BDL`: all of them. `DLL`: some. */
export function detectionOf({ group, limit }: DetectionPlan, total: Accumulator): Detection | null {
  if (total.count[group] === 0) return null
  if ((total.maximum[group] as number) < limit) return 'BDL'
  return (total.minimum[group] as number) < limit ? 'DLL' : 'ADL'
}

/** null: the channel has no detection limit, or its readings are in another set (averages across streams). */
export function detectionPlan(
  station: StationFile,
  values: readonly AveragedValue[],
  value: AveragedValue,
): DetectionPlan | null {
  const channel = station.channels[value.channel]
  const limit = channel?.detectionLimit
  const isOwn = (other: AveragedValue) => isPlain(other, channel?.unit)
  const alone = isOwn(value) ? value : values.findLast((other) => other.channel === value.channel && isOwn(other))
  if (!channel || limit === undefined || !alone) return null
  const { convert } = value
  // The first own channel carries the limit, the others of a sum nothing: only right where all are in the sum's unit.
  const own = channel.sumOf?.length ?? 1
  const isAlike = (channel.sumOf ?? []).every((id) =>
    station.channels.some((member) => member.id === id && member.unit === channel.unit),
  )
  return {
    group: alone.group,
    limit,
    limitIn(total) {
      if (!convert) return isOwn(value) ? limit : null
      if (!isAlike) return null
      const lane = total.laneStart[value.group] as number
      const inputs = convert.inputs.map((_, place) =>
        place === 0 ? limit : place < own ? 0 : total.mean(value.group, lane + place),
      )
      const converted = convert.convert(inputs)
      return Number.isFinite(converted) ? converted : null
    },
  }
}
