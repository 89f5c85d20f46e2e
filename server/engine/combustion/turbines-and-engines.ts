import type { Kelvin, Kilopascal, Ppm, Quantity } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/**
 * NOx of a turbine at ISO ambient conditions: NOx · √(P_r / P_o) · e^(19 (H_o − 0.00633)) · (288 / T_a)^1.53.
 *
 * nox: ppm at 15 % O2; pressures: absolute, at the combustor's inlet, reference and observed; humidity: g of water per g
 * of dry air; ambient: K. Source: 40 CFR 60.335(b)(1) (from memory). Subpart KKKK does not use it.
 */
export const nitrogenOxidesAtIso = (
  nox: Ppm,
  referencePressure: Kilopascal,
  observedPressure: Kilopascal,
  humidity: Quantity<'kg/kg'>,
  ambient: Kelvin,
): Ppm =>
  validValue<Ppm>(
    nox *
      Math.sqrt(referencePressure / observedPressure) *
      Math.exp(19 * (humidity - 0.00633)) *
      (288 / ambient) ** 1.53,
    referencePressure > 0,
    observedPressure > 0,
    humidity >= 0,
    ambient > 0,
  )

/** g/m3 per ppm at 20 degC. Source: 40 CFR 60.4244(d) prints 1.912e-3 for NOx; CO and hydrocarbons as propane from memory. */
export const engineConstants = { NOx: 1.912e-3, CO: 1.164e-3, 'hydrocarbons as propane': 1.833e-3 } as const
export type EnginePollutant = keyof typeof engineConstants

/** Mass per work of an engine, g/(hp h): c · k · Q · T / work; dry ppm, dry m3/h at 20 degC, hours, hp h. Source: 40 CFR 60.4244(d) to (f). */
export const massPerWork = (
  dry: Ppm,
  pollutant: EnginePollutant,
  dryFlow: Quantity<'m3/h'>,
  hours: Quantity<'h'>,
  work: Quantity<'hp h'>,
): Quantity<'g/(hp h)'> =>
  validValue<Quantity<'g/(hp h)'>>((dry * engineConstants[pollutant] * dryFlow * hours) / work, work > 0)

/** Mass per output of a turbine, lb/MWh: 1.194e-7 · c · Q / P; NOx in ppm, flow in ft3/h at standard conditions on the same basis, gross output in MW. Source: 40 CFR 60.4400(a). */
export const massPerOutput = (nox: Ppm, flow: Quantity<'ft3/h'>, output: Quantity<'MW'>): Quantity<'lb/MWh'> =>
  validValue<Quantity<'lb/MWh'>>((1.194e-7 * nox * flow) / output, output > 0)

/** NOx of a compression-ignition engine corrected for the humidity of its intake air: x (9.953 x_H2O + 0.832); x_H2O in mol/mol. Source: 40 CFR 1065.670(a). */
export const intakeHumidityCorrected = (nox: Ppm, water: Quantity<'mol/mol'>): Ppm =>
  validValue<Ppm>(nox * (9.953 * water + 0.832), water >= 0, water < 1)
