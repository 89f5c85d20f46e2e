import type { Fraction, Quantity } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

type CubicFeet = Quantity<'ft3'>

/** Gas sampled, at 68 degF and 29.92 inHg, dry ft3: 17.64 V Y p / T; V in ft3 as metered, inHg absolute, degR. Source: US EPA Method 4 (40 CFR 60 App. A-3), eq. 4-3 (from memory). */
export const sampledGas = (
  metered: CubicFeet,
  meterFactor: Quantity<'1'>,
  pressure: Quantity<'inHg'>,
  temperature: Quantity<'degR'>,
): CubicFeet =>
  validValue<CubicFeet>((17.64 * metered * meterFactor * pressure) / temperature, pressure > 0, temperature > 0)

/**
 * Water vapour's share of the stack gas: (V_wc + V_wsg) / (V_wc + V_wsg + V_m), V_wc = 0.04706 ft3 per mL of condensate,
 * V_wsg = 0.04715 ft3 per g of silica gel's gain; V_m dry at standard conditions.
 *
 * Source: US EPA Method 4 (40 CFR 60 App. A-3), eq. 4-1, 4-2, 4-4 (from memory; an older form prints 0.00134 m3/mL in
 * place of 0.001333).
 */
export const moistureContent = (condensate: Quantity<'mL'>, silicaGain: Quantity<'g'>, dryGas: CubicFeet): Fraction => {
  const vapour = 0.04706 * condensate + 0.04715 * silicaGain
  return validValue<Fraction>(vapour / (vapour + dryGas), condensate >= 0, silicaGain >= 0, dryGas > 0)
}

/** In saturated gas, or where droplets fly, the lower of what was measured and what the gas can hold counts. Source: US EPA Method 4, sec. 12.1.7. */
export const moistureToReport = (measured: Fraction, saturated: Fraction): Fraction =>
  validValue<Fraction>(Math.min(measured, saturated), measured >= 0)

/** Moisture to be assumed where none is measured, as a share. Source: 40 CFR 75.12(b). */
export const assumedMoisture = {
  anthracite: 0.05,
  bituminous: 0.08,
  'sub-bituminous': 0.12,
  lignite: 0.13,
  wood: 0.15,
  'natural gas boiler': 0.18,
} as const satisfies Record<string, number>
export type AssumedFuel = keyof typeof assumedMoisture
