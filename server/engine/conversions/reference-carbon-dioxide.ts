import type { DscfPerMMBtu, ScfPerMMBtu, VolumePercent } from '../../../protocols/words/units.ts'
import { expectedFuelFactor } from '../combustion/fuel-factor.ts'
import { finiteOrNaN } from '../valid-value.ts'

/**
 * A dry concentration at a reference oxygen by way of the measured carbon dioxide: c · X / CO2 with
 * X = (A − O_ref) / F_o, A = 20.9 and F_o = 0.209 F_d / F_c.
 *
 * carbonDioxide: vol%, dry, above 0. For US use: the factors hold for one fuel. NaN where it cannot be formed; the
 * concentration keeps its unit.
 * Source: 40 CFR 60.4213(d)(3), 63.6620(e)(2) (procedure read; images of the equations from memory).
 */
export function atReferenceOxygenByCarbonDioxide(
  dry: number,
  carbonDioxide: VolumePercent,
  reference: VolumePercent,
  dryFactor: DscfPerMMBtu,
  carbonFactor: ScfPerMMBtu,
): number {
  const factor = (20.9 - reference) / expectedFuelFactor(dryFactor, carbonFactor)
  return carbonDioxide > 0 && reference < 20.9 ? finiteOrNaN((dry * factor) / carbonDioxide) : Number.NaN
}
