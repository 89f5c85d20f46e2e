import type { Percent, Quantity, VolumePercent } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

type Uncertainty = Quantity<'concentration'>

/**
 * Standard uncertainty of a concentration at the reference oxygen, in its unit:
 * u² = (k u_c)² + (c k u_O / (A − O))², k = (A − O_ref) / (A − O).
 *
 * c as measured, dry; oxygen and its standard uncertainty in vol%; inputs that are independent of each other.
 * Source: JCGM 100:2008, 5.1.2 (law of propagation, uncorrelated).
 */
export function referredUncertainty(
  concentration: number,
  ofConcentration: number,
  oxygen: VolumePercent,
  ofOxygen: VolumePercent,
  by: { readonly reference: VolumePercent; readonly air: VolumePercent },
): number {
  const k = (by.air - by.reference) / (by.air - oxygen)
  return validValue<Uncertainty>(
    Math.hypot(k * ofConcentration, (concentration * k * ofOxygen) / (by.air - oxygen)),
    oxygen < by.air,
    ofConcentration >= 0,
    ofOxygen >= 0,
  )
}

/** Expanded uncertainty, U = k u. Source: JCGM 100:2008, 6.2.1; k = 2 covers about 95 %. */
export const expandedUncertainty = (standard: number, coverageFactor: number): number =>
  validValue<Uncertainty>(coverageFactor * standard, standard >= 0, coverageFactor > 0)

/** What the oxygen alone adds to a referred concentration, % of it: 100 u_O / (A − O). Source: partial derivative of the reference-oxygen equation. */
export const oxygenShareOfUncertainty = (oxygen: VolumePercent, ofOxygen: VolumePercent, air: VolumePercent): Percent =>
  validValue<Percent>((100 * ofOxygen) / (air - oxygen), oxygen < air, ofOxygen >= 0)

/** Standard uncertainty of bounds ± a between which every value is as likely: a / √3. Source: JCGM 100:2008, 4.3.7. */
export const rectangularUncertainty = (halfWidth: number): number =>
  validValue<Uncertainty>(halfWidth / Math.sqrt(3), halfWidth >= 0)

/** Largest half-width of the 95 % interval that a continuous monitor may have, as a share of the limit. Source: 13. BImSchV, Annex 3; Directive 2010/75/EU, Annex V Part 3 and Annex VI Part 6. */
export const allowedShares = {
  CO: 0.1,
  SO2: 0.2,
  NOx: 0.2,
  dust: 0.3,
  TOC: 0.3,
  HCl: 0.4,
  HF: 0.4,
  NH3: 0.4,
  Hg: 0.4,
} as const
export type MonitoredPollutant = keyof typeof allowedShares

/** That half-width in the limit's unit. */
export const allowedHalfWidth = (limit: number, pollutant: MonitoredPollutant): number =>
  validValue<Uncertainty>(limit * allowedShares[pollutant], limit > 0)
