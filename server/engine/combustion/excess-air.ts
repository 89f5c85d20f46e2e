import type { Percent, Quantity, VolumePercent } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

type AirRatio = Quantity<'1'>

/**
 * Excess air from a dry analysis, %: 100 (O2 − 0.5 CO) / (0.264 N2 − (O2 − 0.5 CO)), N2 the rest of the gas.
 *
 * All in vol%, dry; for fuels without nitrogen of their own. NaN where the rest is negative or the divisor is not above 0.
 * Source: US EPA Method 3B (40 CFR 60 App. A-2), eq. 3B-1 (from memory).
 */
export function excessAirFromAnalysis(
  oxygen: VolumePercent,
  carbonDioxide: VolumePercent,
  carbonMonoxide: VolumePercent,
): Percent {
  const nitrogen = 100 - oxygen - carbonDioxide - carbonMonoxide
  const left = oxygen - 0.5 * carbonMonoxide
  const divisor = 0.264 * nitrogen - left
  return validValue<Percent>((100 * left) / divisor, nitrogen >= 0, divisor > 0)
}

/** Air ratio λ ≈ A / (A − O2), dry oxygen in vol% below that of the air. Source: common practice; up to two points of excess air too high for gas. */
export const airRatio = (oxygen: VolumePercent, air: VolumePercent): AirRatio =>
  validValue<AirRatio>(air / (air - oxygen), oxygen < air)

/**
 * Excess air from dry oxygen, %: 100 · r · O2 / (A − O2).
 *
 * r: dry stoichiometric flue gas / stoichiometric air, both as volumes: methane 0.895, oil about 0.93 to 0.94.
 * Source: stoichiometry; Handbook of Energy Engineering Calculations prints 90 · O2 / (21 − O2) for gas.
 */
export const excessAirFromOxygen = (oxygen: VolumePercent, air: VolumePercent, gasPerAir: Quantity<'1'>): Percent =>
  validValue<Percent>((100 * gasPerAir * oxygen) / (air - oxygen), oxygen < air, gasPerAir > 0)

/** Carbon dioxide from oxygen, vol% dry: CO2max · (A − O2) / A. Complete burning, one fuel. Source: common European practice. */
export const carbonDioxideFromOxygen = (
  oxygen: VolumePercent,
  air: VolumePercent,
  maximum: VolumePercent,
): VolumePercent => validValue<VolumePercent>((maximum * (air - oxygen)) / air, oxygen <= air)

/** The way back: A · (1 − CO2 / CO2max). Source: as `carbonDioxideFromOxygen`. */
export const oxygenFromCarbonDioxide = (
  carbonDioxide: VolumePercent,
  air: VolumePercent,
  maximum: VolumePercent,
): VolumePercent =>
  validValue<VolumePercent>(air * (1 - carbonDioxide / maximum), maximum > 0, carbonDioxide <= maximum)

/**
 * Carbon monoxide over carbon dioxide, both in vol%: (ppm / 10 000) / CO2.
 *
 * NaN below 1 % carbon dioxide, as in purge air, where it says nothing (our choice).
 * Source: BS 7967 practice, where condensing boilers are to stay below 0.004.
 */
export const carbonMonoxideRatio = (carbonMonoxide: Quantity<'ppm'>, carbonDioxide: VolumePercent): Quantity<'1'> =>
  validValue<Quantity<'1'>>(carbonMonoxide / 10_000 / carbonDioxide, carbonDioxide >= 1)
