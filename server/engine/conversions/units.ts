import { mgPerM3PerUnit, ppmPerUnit, type Unit } from '../../../protocols/words/units.ts'
import { type Conditions, massPerFraction } from './mass-concentration.ts'

/** `fraction`: a share of the volume (vol%, ppm, ppb). `mass`: mg/m3 and its multiples. `other`: no gas unit that can be converted. */
export type UnitKind = 'fraction' | 'mass' | 'other'

export function unitKind(unit: Unit): UnitKind {
  if (ppmPerUnit[unit] !== undefined) return 'fraction'
  return mgPerM3PerUnit[unit] === undefined ? 'other' : 'mass'
}

/** The molar mass and the conditions that lead from a volume fraction to a mass concentration. */
export interface GasAt {
  readonly molarMass: number // g/mol
  readonly conditions: Conditions
}

/**
 * What a value in `from` is multiplied by to be in `to`; exactly 1 where the units are the same.
 *
 * Between fractions and between masses the factor is a power of ten; between a fraction and a mass it is that of
 * `massConcentration`, for which `gas` must be given. null where no factor exists: another kind of unit, or no gas.
 */
export function unitFactor(from: Unit, to: Unit, gas: GasAt | null): number | null {
  if (from === to) return 1
  const [ppmFrom, ppmTo, massFrom, massTo] = [
    ppmPerUnit[from],
    ppmPerUnit[to],
    mgPerM3PerUnit[from],
    mgPerM3PerUnit[to],
  ]
  if (ppmFrom !== undefined && ppmTo !== undefined) return ppmFrom / ppmTo
  if (massFrom !== undefined && massTo !== undefined) return massFrom / massTo
  if (gas === null) return null
  const mgPerPpm = massPerFraction(gas.molarMass, gas.conditions)
  if (ppmFrom !== undefined && massTo !== undefined) return (ppmFrom * mgPerPpm) / massTo
  if (massFrom !== undefined && ppmTo !== undefined) return massFrom / mgPerPpm / ppmTo
  return null
}
