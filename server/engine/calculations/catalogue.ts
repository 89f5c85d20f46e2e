import type { Calculation, Family } from './calculation.ts'
import { analyserChecks } from './families/analyser-checks.ts'
import { averages } from './families/averages.ts'
import { cells } from './families/cells.ts'
import { combustions } from './families/combustion.ts'
import { concentrations } from './families/concentrations.ts'
import { emissionRates } from './families/emission-rates.ts'
import { engines } from './families/engines.ts'
import { fFactors } from './families/f-factors.ts'
import { flows } from './families/flow.ts'
import { heatInputs } from './families/heat-input.ts'
import { losses } from './families/losses.ts'
import { moistures } from './families/moisture.ts'
import { referenceOxygens } from './families/reference-oxygen.ts'
import { stoichiometries } from './families/stoichiometry.ts'
import { traverses } from './families/traverse.ts'
import { uncertainties } from './families/uncertainty.ts'
import { waterVapours } from './families/water-vapour.ts'

/** Every published calculation, by family; the one list that the command, the interface, the page and the documents show. */
export const catalogue: readonly Family[] = [
  concentrations,
  referenceOxygens,
  combustions,
  stoichiometries,
  losses,
  fFactors,
  emissionRates,
  heatInputs,
  engines,
  traverses,
  flows,
  moistures,
  waterVapours,
  analyserChecks,
  cells,
  averages,
  uncertainties,
]

const byName = new Map(catalogue.flatMap(({ calculations }) => calculations).map((found) => [found.name, found]))
export const calculationNames: readonly string[] = [...byName.keys()]
export const calculationNamed = (name: string): Calculation | null => byName.get(name) ?? null
