import type { AveragedValue, AveragePlan } from '../averaging/average-values.ts'
import type { LimitSettings, StationFile } from '../settings/station-file.ts'

/**
 * The averaged value that a limit is compared with: same channel, unit, reference oxygen and basis; of several, the one
 * that has gone through most stages. null where the station forms no such value.
 */
export function valueOfLimit(station: StationFile, plan: AveragePlan, limit: LimitSettings): AveragedValue | null {
  const referenceOxygen = limit.referenceOxygen ?? null
  const fits = plan.values.filter((value) => {
    const isGas = station.channels[value.channel]?.species !== undefined
    return station.channels[value.channel]?.id === limit.channel && value.unit === limit.unit && value.referenceOxygen === referenceOxygen && (!isGas || value.basis === limit.basis)
  })
  return fits[fits.length - 1] ?? null
}
