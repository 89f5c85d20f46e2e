import type { GramPerMol, Kelvin, Kilopascal, MgPerM3, Ppm } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/** Molar gas constant, J/(mol K). Source: CODATA 2018 and 2022 (exact since the SI of 2019). */
export const gasConstant = 8.314_462_618_153_24

/** Temperature and pressure to which a volume is referred: 273.15 K and 101.325 kPa are the EU's normal conditions, 293.15 K the US standard. */
export interface Conditions {
  readonly kelvin: Kelvin
  readonly kilopascal: Kilopascal
}

/** mg/m3 that one ppm makes: M · p / (R · T). molarMass in g/mol. */
export const massPerFraction = (molarMass: number, at: Conditions): number =>
  (molarMass * at.kilopascal) / (gasConstant * at.kelvin)

/**
 * Mass concentration of an ideal gas: ppm · M · p / (R · T); with p in kPa and R in J/(mol K) the result is in mg/m3.
 *
 * Basis and reference oxygen stay as they were; the conditions are those of the result. Negative noise stays negative. NaN without a temperature and a pressure above 0.
 * Source: ideal gas law; US 40 CFR 60.4244(d) prints 1.912e-3 g/m3 per ppm of NO2 at 20 degC, the EU's two-decimal
 * factors are CO 1.25, NO 1.34, NO2 2.05, SO2 2.86. Worked values: tests/standards/mass-concentration.test.ts.
 */
export const massConcentration = (fraction: Ppm, molarMass: GramPerMol, at: Conditions): MgPerM3 =>
  validValue<MgPerM3>(fraction * massPerFraction(molarMass, at), at.kelvin > 0, at.kilopascal > 0)

/** The way back: mg/m3 at `at` → ppm. Source: as `massConcentration`. */
export const volumeFraction = (mass: MgPerM3, molarMass: GramPerMol, at: Conditions): Ppm =>
  validValue<Ppm>(mass / massPerFraction(molarMass, at), at.kelvin > 0, at.kilopascal > 0)

/**
 * A mass concentration stated at one temperature and pressure, at another: c · (T₁ / T₂) · (p₂ / p₁).
 * Source: ideal gas law; reference state of Directive 2010/75/EU, 273.15 K and 101.3 kPa.
 */
export const atConditions = (mass: MgPerM3, from: Conditions, to: Conditions): MgPerM3 =>
  validValue<MgPerM3>(
    mass * (from.kelvin / to.kelvin) * (to.kilopascal / from.kilopascal),
    from.kelvin > 0,
    from.kilopascal > 0,
    to.kelvin > 0,
    to.kilopascal > 0,
  )

/** `273.15K,101.325kPa`, as the column `conditions` of the exports has it. */
export const conditionsText = (at: Conditions): string => `${at.kelvin}K,${at.kilopascal}kPa`
