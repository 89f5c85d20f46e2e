import type {
  DscfPerMMBtu,
  Fraction,
  GramPerMol,
  LbPerMMBtu,
  LbPerScfPerPpm,
  Percent,
  Ppm,
  Quantity,
  ScfPerMMBtu,
  VolumePercent,
  WscfPerMMBtu,
} from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/** Oxygen of the air as Method 19 has it, vol%. */
const air = 20.9

/**
 * lb/scf that one ppm makes at 68 degF and 29.92 inHg: M / 385.326 · 10⁻⁶.
 * Source: ideal gas; Method 19, Table 19-1 prints 1.194e-7 for NOx and 1.660e-7 for SO2 (0.16 % below first principles).
 */
export const poundsPerScf = (molarMass: GramPerMol): LbPerScfPerPpm =>
  validValue<LbPerScfPerPpm>(molarMass / 385.326 / 1e6, molarMass > 0)

/** A pollutant as Method 19 takes it: ppm and the constant that makes lb/scf of one ppm. Its basis is the equation's. */
export interface Pollutant {
  readonly ppm: Ppm
  readonly constant: LbPerScfPerPpm
}
const mass = ({ ppm, constant }: Pollutant): number => ppm * constant
const rate = (value: number, divisor: number, ...needs: boolean[]): LbPerMMBtu =>
  validValue<LbPerMMBtu>(value / divisor, divisor > 0, ...needs)
const isShare = (water: Fraction): boolean => water >= 0 && water < 1

// Emission rates per gross heat input, lb/MMBtu. Source of all nine: US EPA Method 19 (40 CFR 60 App. A-7), sections
// 12.2 and 12.3. Oxygen and carbon dioxide in vol%; water as a share of the wet gas. NaN where the divisor is not above 0.

/** 19-1: dry pollutant, dry oxygen: E = C_d F_d 20.9 / (20.9 − O2d). */
export const emissionRate1 = (dry: Pollutant, factor: DscfPerMMBtu, dryOxygen: VolumePercent): LbPerMMBtu =>
  rate(mass(dry) * factor * air, air - dryOxygen)

/** 19-2: wet pollutant, wet oxygen, F_w, water of the ambient air: E = C_w F_w 20.9 / (20.9 (1 − B_wa) − O2w). */
export const emissionRate2 = (
  wet: Pollutant,
  factor: WscfPerMMBtu,
  wetOxygen: VolumePercent,
  ambientWater: Fraction,
): LbPerMMBtu => rate(mass(wet) * factor * air, air * (1 - ambientWater) - wetOxygen, isShare(ambientWater))

/** 19-3: wet pollutant, wet oxygen, F_d: E = C_w F_d 20.9 / (20.9 (1 − B_ws) − O2w). */
export const emissionRate3 = (
  wet: Pollutant,
  factor: DscfPerMMBtu,
  wetOxygen: VolumePercent,
  water: Fraction,
): LbPerMMBtu => rate(mass(wet) * factor * air, air * (1 - water) - wetOxygen, isShare(water))

/** 19-4: wet pollutant, dry oxygen: E = C_w F_d 20.9 / ((1 − B_ws) (20.9 − O2d)). */
export const emissionRate4 = (
  wet: Pollutant,
  factor: DscfPerMMBtu,
  dryOxygen: VolumePercent,
  water: Fraction,
): LbPerMMBtu => rate(mass(wet) * factor * air, (1 - water) * (air - dryOxygen), isShare(water))

/** 19-5: dry pollutant, wet oxygen: E = C_d F_d 20.9 / (20.9 − O2w / (1 − B_ws)). */
export const emissionRate5 = (
  dry: Pollutant,
  factor: DscfPerMMBtu,
  wetOxygen: VolumePercent,
  water: Fraction,
): LbPerMMBtu => rate(mass(dry) * factor * air, air - wetOxygen / (1 - water), isShare(water))

/** 19-6: dry pollutant, dry carbon dioxide: E = C_d F_c 100 / CO2d. */
export const emissionRate6 = (dry: Pollutant, factor: ScfPerMMBtu, dryCarbonDioxide: VolumePercent): LbPerMMBtu =>
  rate(mass(dry) * factor * 100, dryCarbonDioxide)

/** 19-7: wet pollutant, wet carbon dioxide: E = C_w F_c 100 / CO2w. */
export const emissionRate7 = (wet: Pollutant, factor: ScfPerMMBtu, wetCarbonDioxide: VolumePercent): LbPerMMBtu =>
  rate(mass(wet) * factor * 100, wetCarbonDioxide)

/** 19-8: wet pollutant, dry carbon dioxide: E = C_w F_c 100 / ((1 − B_ws) CO2d). */
export const emissionRate8 = (
  wet: Pollutant,
  factor: ScfPerMMBtu,
  dryCarbonDioxide: VolumePercent,
  water: Fraction,
): LbPerMMBtu => rate(mass(wet) * factor * 100, (1 - water) * dryCarbonDioxide, isShare(water))

/** 19-9: dry pollutant, wet carbon dioxide: E = C_d (1 − B_ws) F_c 100 / CO2w. */
export const emissionRate9 = (
  dry: Pollutant,
  factor: ScfPerMMBtu,
  wetCarbonDioxide: VolumePercent,
  water: Fraction,
): LbPerMMBtu => rate(mass(dry) * (1 - water) * factor * 100, wetCarbonDioxide, isShare(water))

/**
 * 19-1 with the diluent cap: above it the cap stands in the oxygen's place. For lb/MMBtu alone; the oxygen that is
 * reported is never capped.
 * Source: 40 CFR 75 App. F, 3.3.4.1: boilers 14.0 % (read); turbines 19.0 % (from memory).
 */
export const emissionRateCapped = (
  dry: Pollutant,
  factor: DscfPerMMBtu,
  dryOxygen: VolumePercent,
  cap: VolumePercent,
): LbPerMMBtu => emissionRate1(dry, factor, Math.min(dryOxygen, cap) as VolumePercent)

/** 19-6 with the diluent cap: below it the cap stands in the carbon dioxide's place. Source: as `emissionRateCapped`; boilers 5.0 % (read), turbines 1.0 % (from memory). */
export const emissionRateCappedByCarbonDioxide = (
  dry: Pollutant,
  factor: ScfPerMMBtu,
  dryCarbonDioxide: VolumePercent,
  cap: VolumePercent,
): LbPerMMBtu => emissionRate6(dry, factor, Math.max(dryCarbonDioxide, cap) as VolumePercent)

/** Removal, %: 100 (1 − E_out / E_in). Source: Method 19, 12.4; 40 CFR 63.6620(e). */
export const removal = (into: LbPerMMBtu, outOf: LbPerMMBtu): Percent =>
  validValue<Percent>(100 * (1 - outOf / into), into > 0)

/** Dry carbon dioxide from dry oxygen, vol%: 100 (F_c / F_d) (20.9 − O2d) / 20.9. Source: 40 CFR 75 App. F, F-14a (from memory). */
export const dryCarbonDioxideFromOxygen = (
  dryOxygen: VolumePercent,
  carbonFactor: ScfPerMMBtu,
  factor: DscfPerMMBtu,
): VolumePercent =>
  validValue<VolumePercent>((100 * (carbonFactor / factor) * (air - dryOxygen)) / air, factor > 0, dryOxygen <= air)

/** Wet carbon dioxide from wet oxygen, vol%: (100 / 20.9) (F_c / F_d) (20.9 (1 − H2O) − O2w). Source: 40 CFR 75 App. F, F-14b (from memory). */
export const wetCarbonDioxideFromOxygen = (
  wetOxygen: VolumePercent,
  carbonFactor: ScfPerMMBtu,
  factor: DscfPerMMBtu,
  water: Fraction,
): VolumePercent => {
  const left = air * (1 - water) - wetOxygen
  return validValue<VolumePercent>((100 / air) * (carbonFactor / factor) * left, factor > 0, isShare(water), left >= 0)
}

type WscfPerHour = Quantity<'ft3/h'>
type HeatInput = Quantity<'MMBtu/h'>

/** Heat input from wet flow and dry oxygen, MMBtu/h: Q_w (1 − H2O) / F_d · (20.9 − O2d) / 20.9. Source: 40 CFR 75 App. F, F-18 (from memory). */
export const heatInputByOxygen = (
  wetFlow: WscfPerHour,
  water: Fraction,
  factor: DscfPerMMBtu,
  dryOxygen: VolumePercent,
): HeatInput =>
  validValue<HeatInput>(
    ((wetFlow * (1 - water)) / factor) * ((air - dryOxygen) / air),
    wetFlow >= 0,
    isShare(water),
    factor > 0,
    dryOxygen <= air,
  )

/** Heat input from wet flow and wet carbon dioxide, MMBtu/h: Q_w CO2w / (100 F_c). Source: 40 CFR 75 App. F, F-15 (from memory). */
export const heatInputByCarbonDioxide = (
  wetFlow: WscfPerHour,
  wetCarbonDioxide: VolumePercent,
  factor: ScfPerMMBtu,
): HeatInput => validValue<HeatInput>((wetFlow * wetCarbonDioxide) / (100 * factor), wetFlow >= 0, factor > 0)
