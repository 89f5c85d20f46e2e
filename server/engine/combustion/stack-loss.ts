import type { Celsius, MegajoulePerKilogram, Percent, Quantity, VolumePercent } from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'
import { type Composition, flueGasMoles } from './stoichiometry.ts'

/** Siegert coefficients on the net heating value. Source: 1. BImSchV (2010), Annex 2 no. 3.4.1; `a1` of the older CO2 form: from memory. */
export const siegertFuels = {
  'light oil': { a: 0.68, b: 0.007, a1: 0.5 },
  'natural gas': { a: 0.66, b: 0.009, a1: 0.37 },
  'coke-oven gas': { a: 0.6, b: 0.011, a1: 0.29 },
  'liquefied gas': { a: 0.63, b: 0.008, a1: 0.42 },
} as const satisfies Record<string, { a: number; b: number; a1: number }>
export type SiegertFuel = keyof typeof siegertFuels

/**
 * Flue-gas loss on the net heating value, %: (tG − tL) (A / (21 − O2) + B).
 *
 * gas, air: degC; oxygen: vol% dry, below 21, taken at the same point and time as the temperature. Nothing condenses in
 * it. NaN where the gas is colder than the air.
 * Source: 1. BImSchV (2010), Annex 2 no. 3.4.1.
 */
export const stackLoss = (gas: Celsius, air: Celsius, oxygen: VolumePercent, fuel: SiegertFuel): Percent => {
  const { a, b } = siegertFuels[fuel]
  return validValue<Percent>((gas - air) * (a / (21 - oxygen) + b), gas >= air, oxygen < 21)
}

/** The older form by carbon dioxide: (tG − tL) (A1 / CO2 + B), CO2 in vol% dry, above 0. Source: older edition of the same rule, EN 50379 practice (from memory). */
export const stackLossByCarbonDioxide = (
  gas: Celsius,
  air: Celsius,
  carbonDioxide: VolumePercent,
  fuel: SiegertFuel,
): Percent => {
  const { a1, b } = siegertFuels[fuel]
  return validValue<Percent>((gas - air) * (a1 / carbonDioxide + b), gas >= air, carbonDioxide > 0)
}

/** Largest loss of a small furnace for oil or gas by its nominal output, kW, from 4: 11 % to 25 kW, 10 % to 50 kW, 9 % above. Source: 1. BImSchV (2010), sec. 10. */
export const stackLossLimit = (power: Quantity<'kW'>): Percent =>
  validValue<Percent>(power <= 25 ? 11 : power <= 50 ? 10 : 9, power >= 4)

/** Efficiency on the net heating value, %: 100 − loss. What condensing gains is not in it. Source: 1. BImSchV, section 10 as restated in a published glossary. */
export const efficiency = (loss: Percent): Percent => validValue<Percent>(100 - loss)

/**
 * Mean molar heat capacities between 25 and 250 degC, J/(mol K). From memory of standard thermodynamic tables; a
 * deviation of 1 % moves a loss by a hundredth of itself.
 */
const heatCapacity = { carbonDioxide: 41.2, sulphurDioxide: 43, nitrogen: 29.3, oxygen: 30.2, water: 34.4 }

/**
 * The same loss by a heat balance of the flue gas, %: sensible heat of all that leaves / net heating value.
 *
 * fuel: wt%; net: MJ/kg. Water stays vapour. The cross-check of `stackLoss`, with which it shares no coefficient.
 * Source: plain physics; heat capacities from memory.
 */
export function stackLossByHeatBalance(
  gas: Celsius,
  air: Celsius,
  oxygen: VolumePercent,
  fuel: Composition,
  net: MegajoulePerKilogram,
): Percent {
  const moles = flueGasMoles(fuel, oxygen, 21 as VolumePercent)
  const capacity =
    moles.carbonDioxide * heatCapacity.carbonDioxide +
    moles.sulphurDioxide * heatCapacity.sulphurDioxide +
    moles.nitrogen * heatCapacity.nitrogen +
    moles.oxygen * heatCapacity.oxygen +
    moles.water * heatCapacity.water
  // kmol/kg · J/(mol K) · K = kJ/kg.
  return validValue<Percent>((100 * capacity * (gas - air)) / (net * 1000), gas >= air, net > 0)
}

type KcalPerKilogram = Quantity<'kcal/kg'>

/** Dry-gas loss on the gross heating value, %: 100 m cp (tG − tA) / GCV; m in kg of dry gas per kg of fuel, cp in kcal/(kg K). Source: indirect-method boiler guide of a national energy bureau (from memory). */
export const dryGasLoss = (
  gasPerFuel: Quantity<'kg/kg'>,
  heatCapacityOfGas: Quantity<'kcal/(kg K)'>,
  gas: Celsius,
  air: Celsius,
  gross: KcalPerKilogram,
): Percent => validValue<Percent>((100 * gasPerFuel * heatCapacityOfGas * (gas - air)) / gross, gas >= air, gross > 0)

/** Loss by the fuel's hydrogen on the gross heating value, %: 100 · 9 H (584 + 0.45 (tG − tA)) / GCV, H in kg/kg. Source: as `dryGasLoss`. */
export const hydrogenLoss = (
  hydrogen: Quantity<'kg/kg'>,
  gas: Celsius,
  air: Celsius,
  gross: KcalPerKilogram,
): Percent => validValue<Percent>((100 * 9 * hydrogen * (584 + 0.45 * (gas - air))) / gross, gas >= air, gross > 0)

/** Loss by unburnt carbon monoxide, %: f · CO / (CO + CO2), both vol% dry; f about 32 to 35 for natural gas, 48 to 60 for oil and coal. An order of magnitude. Source: from memory. */
export const unburntGasLoss = (carbonMonoxide: VolumePercent, carbonDioxide: VolumePercent, factor: Percent): Percent =>
  validValue<Percent>(
    (factor * carbonMonoxide) / (carbonMonoxide + carbonDioxide),
    carbonMonoxide >= 0,
    carbonMonoxide + carbonDioxide >= 1,
  )
