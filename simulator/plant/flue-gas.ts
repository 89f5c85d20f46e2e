import type { Fuel } from './fuel.ts'

/** Combustion air. oxygen: mole fraction in dry air; water: mole per mole of dry air. */
export interface Air {
  readonly oxygen: number
  readonly water: number
}
/** Dry air holds 20.95 % of oxygen (mole fraction; standard atmosphere, ISO 2533); 1 % of water is the air of a boiler house. */
export const roomAir: Air = { oxygen: 0.2095, water: 0.01 }

/** Amounts out of a kilogram of fuel, kmol. */
export interface Products {
  readonly CO2: number
  readonly SO2: number
  readonly N2: number
  readonly O2: number
  readonly water: number
  /** All but water. */
  readonly dry: number
}

/**
 * Complete combustion by the balance of atoms: C → CO2, H → H2O, S → SO2, the fuel's own nitrogen → N2.
 * lambda: air supplied / air needed, 1 or more. Rare gases count as nitrogen.
 */
export function burn(fuel: Fuel, lambda: number, air: Air = roomAir): Products {
  const { C, H, S, N, O, water } = fuel.kmolPerKg
  const oxygenNeeded = C + S + H / 4 - O / 2
  const airSupplied = (lambda * oxygenNeeded) / air.oxygen
  const oxygenLeft = (lambda - 1) * oxygenNeeded
  const nitrogen = N / 2 + airSupplied * (1 - air.oxygen)
  return {
    CO2: C,
    SO2: S,
    N2: nitrogen,
    O2: oxygenLeft,
    water: H / 2 + water + airSupplied * air.water,
    dry: C + S + nitrogen + oxygenLeft,
  }
}

/** CO2 of the dry flue gas without excess air, vol%: the most that the fuel can give. */
export function carbonDioxideMaximum(fuel: Fuel, airOxygen = 0.21): number {
  const products = burn(fuel, 1, { oxygen: airOxygen, water: 0 })
  return (100 * products.CO2) / products.dry
}

/** A gas: O2 and CO2 in vol% of the dry gas, CO, NO, NO2 and SO2 in ppm of the dry gas, water in vol% of the wet gas. */
export interface Gas {
  O2: number
  CO2: number
  CO: number
  NO: number
  NO2: number
  SO2: number
  water: number
}
export const gasSpecies = ['O2', 'CO2', 'CO', 'NO', 'NO2', 'SO2'] as const
export type GasSpecies = (typeof gasSpecies)[number]

/** Clean air as an instrument draws it in: CO2 0.042 vol% (global mean of the 2020s, from memory), no combustion gases. */
export const cleanAir: Gas = { O2: 20.95, CO2: 0.042, CO: 0, NO: 0, NO2: 0, SO2: 0, water: 1 }

export const copyGas = (to: Gas, from: Gas): void => {
  to.O2 = from.O2
  to.CO2 = from.CO2
  to.CO = from.CO
  to.NO = from.NO
  to.NO2 = from.NO2
  to.SO2 = from.SO2
  to.water = from.water
}

/** Dry volumes of `share` (0…1) of `other` in `gas`, in place; water is mixed alike (the difference is a second-order one). */
export function mixIn(gas: Gas, other: Gas, share: number): void {
  gas.O2 += (other.O2 - gas.O2) * share
  gas.CO2 += (other.CO2 - gas.CO2) * share
  gas.CO += (other.CO - gas.CO) * share
  gas.NO += (other.NO - gas.NO) * share
  gas.NO2 += (other.NO2 - gas.NO2) * share
  gas.SO2 += (other.SO2 - gas.SO2) * share
  gas.water += (other.water - gas.water) * share
}

/**
 * Fills `gas` with the flue gas of a fuel at lambda, with the trace gases asked for in ppm of the dry gas.
 * Carbon that leaves as CO is missing from CO2 and leaves half a mole of oxygen; there is no more CO than the fuel has carbon.
 * What NO takes of the oxygen is neglected (0.01 vol% at 200 ppm).
 */
export function flueGas(
  gas: Gas,
  fuel: Fuel,
  lambda: number,
  carbonMonoxide: number,
  nitricOxide: number,
  nitrogenDioxide: number,
): void {
  const products = burn(fuel, lambda)
  const most = (1e6 * products.CO2) / (products.dry + products.CO2 / 2)
  gas.CO = Math.min(carbonMonoxide, most)
  // kmol, such that of `dry` + CO / 2 kmol it is that share.
  const CO = (gas.CO * products.dry) / (1e6 - gas.CO / 2)
  const dry = products.dry + CO / 2
  gas.CO2 = Math.max(0, (100 * (products.CO2 - CO)) / dry)
  gas.O2 = (100 * (products.O2 + CO / 2)) / dry
  gas.SO2 = (1e6 * products.SO2) / dry
  gas.NO = nitricOxide
  gas.NO2 = nitrogenDioxide
  gas.water = (100 * products.water) / (dry + products.water)
}
