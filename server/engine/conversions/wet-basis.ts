import type { Fraction } from '../../../protocols/words/units.ts'
import { finiteOrNaN } from '../valid-value.ts'
import { dryFactor } from './dry-basis.ts'

/** A dry concentration (any unit of a gas) on the wet basis: c · (1 − H2O). NaN as `dryFactor`, of which it is the inverse. */
export const wetBasis = <Q extends number>(dry: Q, moisture: Fraction): Q =>
  finiteOrNaN((dry / dryFactor(moisture)) as Q)
