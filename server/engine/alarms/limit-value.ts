import { type AveragedValue, type AveragePlan, isPlain } from '../averaging/average-values.ts'
import type { ConversionPlan } from '../conversions/conversion-plan.ts'
import type { StationFile } from '../settings/station-file.ts'

/** The averaged value that limit number `index` is compared with: the conversion that it asks for, else the channel's own, drift corrected where it is. */
export function valueOfLimit(
  station: StationFile,
  conversions: ConversionPlan,
  averages: AveragePlan,
  index: number,
): AveragedValue | null {
  const limit = station.limits[index]
  const place = conversions.limits[index] ?? null
  const wanted = place === null ? null : conversions.values[place]
  const own = averages.values.filter((value) => station.channels[value.channel]?.id === limit?.channel)
  if (wanted) return own.find(({ quantity, unit }) => quantity === wanted.quantity && unit === wanted.unit) ?? null
  // Another limit may ask for the same gas in ppb beside ppm: that value is drift corrected too, in its own unit.
  return own.findLast((value) => isPlain(value, limit?.unit)) ?? null
}
