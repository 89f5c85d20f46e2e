import type { DscfPerMMBtu, MassPercent, Quantity, ScfPerMMBtu, WscfPerMMBtu } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

export interface FuelFactors {
  readonly dry: number // dscf/MMBtu
  readonly wet: number | null // wscf/MMBtu
  readonly carbon: number // scf/MMBtu of CO2
}

/**
 * F factors on the gross heating value, at 68 degF and 29.92 inHg.
 * Source: US EPA Method 19 (40 CFR 60 App. A-7), Table 19-2. The gas rows 8710 with 1040, 1190 and 1250 were read in
 * 40 CFR 75 App. F; all others are from memory. The metric column is rounded by itself: convert these.
 */
export const fuelFactors = {
  anthracite: { dry: 10_100, wet: 10_540, carbon: 1970 },
  bituminous: { dry: 9780, wet: 10_640, carbon: 1800 },
  lignite: { dry: 9860, wet: 11_950, carbon: 1910 },
  oil: { dry: 9190, wet: 10_320, carbon: 1420 },
  'natural gas': { dry: 8710, wet: 10_610, carbon: 1040 },
  propane: { dry: 8710, wet: 10_200, carbon: 1190 },
  butane: { dry: 8710, wet: 10_390, carbon: 1250 },
  wood: { dry: 9240, wet: null, carbon: 1830 },
} as const satisfies Record<string, FuelFactors>
export type FactorFuel = keyof typeof fuelFactors

/** F_d of a fuel; never NaN. */
export const dryFactorOf = (fuel: FactorFuel): DscfPerMMBtu => validValue<DscfPerMMBtu>(fuelFactors[fuel].dry)
/** F_w of a fuel; NaN for wood, which has none. */
export const wetFactorOf = (fuel: FactorFuel): WscfPerMMBtu =>
  validValue<WscfPerMMBtu>(fuelFactors[fuel].wet ?? Number.NaN)
/** F_c of a fuel; never NaN. */
export const carbonFactorOf = (fuel: FactorFuel): ScfPerMMBtu => validValue<ScfPerMMBtu>(fuelFactors[fuel].carbon)

type BtuPerPound = Quantity<'Btu/lb'>
interface UltimateAnalysis {
  readonly carbon: MassPercent
  readonly hydrogen: MassPercent
  readonly sulphur: MassPercent
  readonly nitrogen: MassPercent
  readonly oxygen: MassPercent
}

/** F_d from an ultimate analysis: 10⁶ (3.64 H + 1.53 C + 0.57 S + 0.14 N − 0.46 O) / GCV; wt%, Btu/lb. Source: Method 19, eq. 19-13 (constants read in an open implementation that cites it). */
export const dryFactorOfComposition = (
  { carbon, hydrogen, sulphur, nitrogen, oxygen }: UltimateAnalysis,
  gross: BtuPerPound,
): DscfPerMMBtu => {
  const value = (1e6 * (3.64 * hydrogen + 1.53 * carbon + 0.57 * sulphur + 0.14 * nitrogen - 0.46 * oxygen)) / gross
  return validValue<DscfPerMMBtu>(value, gross > 0, value > 0)
}

/** F_c from the carbon of a fuel: 10⁶ · 0.321 C / GCV. Source: Method 19, eq. 19-15 (from memory). */
export const carbonFactorOfComposition = (carbon: MassPercent, gross: BtuPerPound): ScfPerMMBtu =>
  validValue<ScfPerMMBtu>((1e6 * 0.321 * carbon) / gross, gross > 0, carbon > 0)

/** F factor of fuels burnt together: Σ share of the heat input · F. As many shares as factors; the shares add up to 1 within 0.5 %. Source: Method 19, eq. 19-16 (from memory). */
export const factorOfMixedFuels = (factors: readonly DscfPerMMBtu[], shares: readonly Quantity<'1'>[]): DscfPerMMBtu =>
  validValue<DscfPerMMBtu>(
    factors.reduce((sum, factor, place) => sum + factor * (shares[place] ?? Number.NaN), 0),
    factors.length === shares.length,
    Math.abs(shares.reduce((sum, share) => sum + share, 0) - 1) <= 0.005,
  )
