import type { DscfPerMMBtu, Quantity, ScfPerMMBtu, VolumePercent } from '../../../protocols/words/units.ts'
import { isWithin, validValue } from '../valid-value.ts'

type FuelFactor = Quantity<'1'>

/**
 * F_o = (20.9 − O2) / CO2; with carbon monoxide O2 − 0.5 CO and CO2 + CO stand in their places.
 *
 * All in vol% of dry gas. NaN without carbon dioxide and at or above 20.9 % oxygen. Dilution by air cancels out: F_o
 * finds a wrong analyser or fuel, never a leak.
 * Source: US EPA Method 3B (40 CFR 60 App. A-2), eq. 3B-3.
 */
export function fuelFactor(
  oxygen: VolumePercent,
  carbonDioxide: VolumePercent,
  carbonMonoxide: VolumePercent,
): FuelFactor {
  const burnt = carbonDioxide + carbonMonoxide
  const left = oxygen - 0.5 * carbonMonoxide
  return validValue<FuelFactor>((20.9 - left) / burnt, burnt > 0, left < 20.9)
}

/** F_o that a fuel's F factors lead to: 0.209 F_d / F_c. Source: 40 CFR 60.4213(d)(3) (image of the equation from memory). */
export const expectedFuelFactor = (dryFactor: DscfPerMMBtu, carbonFactor: ScfPerMMBtu): FuelFactor =>
  validValue<FuelFactor>((0.209 * dryFactor) / carbonFactor, dryFactor > 0, carbonFactor > 0)

/** Ranges of F_o by fuel. Source: US EPA Method 3B, section on data validation; all digits from memory. */
export const fuelFactorRanges = {
  'anthracite or lignite': [1.016, 1.13],
  bituminous: [1.083, 1.23],
  'distillate oil': [1.26, 1.413],
  'residual oil': [1.21, 1.37],
  'natural gas': [1.6, 1.836],
  propane: [1.434, 1.586],
  butane: [1.405, 1.553],
  wood: [1, 1.12],
  'wood bark': [1.003, 1.13],
} as const satisfies Record<string, readonly [number, number]>
export type FuelWithRange = keyof typeof fuelFactorRanges

/** Whether a measured F_o fits the fuel; null where there is none. */
export function fitsFuel(factor: FuelFactor, fuel: FuelWithRange): boolean | null {
  const [low, high] = fuelFactorRanges[fuel]
  return Number.isNaN(factor) ? null : isWithin(factor, low, high)
}
