import { type Species, speciesTable } from '../../../protocols/words/species.ts'
import { type GramPerMol, type Ppm, quantity } from '../../../protocols/words/units.ts'

/**
 * Nitrogen oxides as a volume fraction: NO + NO2, in ppm. Both on the same basis.
 * As a mass they are stated as NO2, so the sum takes the molar mass of NO2 (EN 14792, scope; Directive 2010/75/EU;
 * 40 CFR 60 App. A-4, Method 7E); adding NO · 1.34 and NO2 · 2.05 is the classic error.
 */
export const nitrogenOxides = (no: Ppm, no2: Ppm): Ppm => quantity<Ppm>(no + no2)

/** Molar mass, g/mol, that a species' mass concentration is stated with: NOx as NO2 (limits) or, where a permit says so, as NO. */
export const statedMolarMass = (species: Species, noxAs: 'NO2' | 'NO'): GramPerMol =>
  quantity<GramPerMol>(speciesTable[species === 'NOx' ? noxAs : species].molarMassGramPerMol)
