import { type Fraction, quantity } from '../../../protocols/words/units.ts'
import { finiteOrNaN } from '../valid-value.ts'

/** Above this much water the divisor is too small to be used. Our choice: the largest moisture that the station file takes. */
const mostMoisture = 0.95

/**
 * What a wet value is multiplied by to be dry: 1 / (1 − H2O). NaN above 95 % and where the moisture is not known (NaN).
 *
 * moisture: water vapour as a share of the wet gas's volume. Negative noise of a moisture channel is taken as it is.
 * Source: US EPA Method 19 (40 CFR 60 App. A-7), eq. 19-4; 40 CFR 1065.659 has the inverse form.
 */
export const dryFactor = (moisture: Fraction): number => (moisture <= mostMoisture ? 1 / (1 - moisture) : Number.NaN)

/** A wet concentration (any unit of a gas) on the dry basis: c / (1 − H2O). NaN where it cannot be formed. Source: as `dryFactor`. */
export const dryBasis = <Q extends number>(wet: Q, moisture: Fraction): Q =>
  finiteOrNaN((wet * dryFactor(moisture)) as Q)

/** vol% → share. */
export const moistureShare = (volumePercent: number): Fraction => quantity<Fraction>(volumePercent / 100)
