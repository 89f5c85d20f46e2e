import type { Fraction, GramPerMol, VolumePercent } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/** Molar mass of dry flue gas, g/mol: 0.440 CO2 + 0.320 O2 + 0.280 (N2 + CO); N2 is the rest. vol%, dry. Source: US EPA Method 3 (40 CFR 60 App. A-2), eq. 3-1. */
export const dryMolarMass = (
  carbonDioxide: VolumePercent,
  oxygen: VolumePercent,
  carbonMonoxide: VolumePercent,
): GramPerMol => {
  const nitrogen = 100 - carbonDioxide - oxygen - carbonMonoxide
  return validValue<GramPerMol>(
    0.44 * carbonDioxide + 0.32 * oxygen + 0.28 * (nitrogen + carbonMonoxide),
    nitrogen >= 0,
  )
}

/** Molar mass of wet flue gas, g/mol: M_d (1 − B_ws) + 18.0 B_ws. Source: US EPA Method 2 (40 CFR 60 App. A-1), eq. 2-6. */
export const wetMolarMass = (dry: GramPerMol, water: Fraction): GramPerMol =>
  validValue<GramPerMol>(dry * (1 - water) + 18 * water, dry > 0, water >= 0, water <= 1)
