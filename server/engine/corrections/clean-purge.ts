import type { StationFile } from '../settings/station-file.ts'
import type { ZeroFound } from './zero.ts'

/**
 * Why the air of a purge was not clean; empty where nothing speaks against it. Fresh air is zero gas only for what it does
 * not hold: beside stacks and engines it holds CO and NOx. `isAir`: for a purge, not for a zero gas, whose oxygen is another.
 * Source: the rule is common practice; its figures are settings.
 */
export function uncleanness(station: StationFile, found: readonly ZeroFound[], isAir: boolean): string[] {
  const { floors, oxygenWithin } = station.corrections.cleanPurge
  const ambient = station.conversions.ambientOxygen
  return found.flatMap(({ channel, mean }) => {
    const settings = station.channels[channel]
    const floor = floors[settings?.id ?? '']
    if (!settings) return []
    const read = `${settings.id} read ${Number(mean.toPrecision(4))} ${settings.unit}`
    if (floor !== undefined && mean > floor) return [`${read}, more than ${floor}`]
    if (isAir && settings.species === 'O2' && settings.unit === 'vol%' && !(Math.abs(mean - ambient) <= oxygenWithin))
      return [`${read}, not within ${oxygenWithin} of the air’s ${ambient}`]
    return []
  })
}
