import type {
  CubicMetrePerKilogram,
  Fraction,
  MassPercent,
  Quantity,
  VolumePercent,
} from '../../../protocols/words/units.ts'
import { validValue } from '../valid-value.ts'

/** An ultimate analysis as fired, wt%; the rest is ash. Their sum is at most 100. */
export interface Composition {
  readonly carbon: MassPercent
  readonly hydrogen: MassPercent
  readonly sulphur: MassPercent
  readonly nitrogen: MassPercent
  readonly oxygen: MassPercent
  readonly water: MassPercent
}
type KilogramPerKilogram = Quantity<'kg/kg'>

/** g/mol: IUPAC standard atomic weights, rounded. */
const molar = {
  carbon: 12.011,
  hydrogen: 1.008,
  sulphur: 32.06,
  oxygen: 15.999,
  nitrogen: 14.007,
  water: 18.015,
  air: 28.965,
}
/** m3/kmol of an ideal gas at 273.15 K and 101.325 kPa. */
const molarVolume = 22.41397

/** kmol per kg of fuel that burning needs and leaves at air ratio 1, without air's own water. */
interface BurntMoles {
  readonly oxygenNeeded: number
  readonly carbonDioxide: number
  readonly sulphurDioxide: number
  readonly nitrogenOfFuel: number
  readonly water: number
}

const isComposition = (fuel: Composition): boolean => {
  const parts = Object.values(fuel)
  return parts.every((part) => part >= 0) && parts.reduce((sum, part) => sum + part, 0) <= 100 + 1e-9
}

/** Complete burning of one kg: C → CO2, H2 → H2O, S → SO2; the fuel's oxygen is used first. Source: stoichiometry. */
function burntMoles({ carbon, hydrogen, sulphur, nitrogen, oxygen, water }: Composition): BurntMoles {
  const [c, h, s, o, n] = [
    carbon / 100 / molar.carbon,
    hydrogen / 100 / molar.hydrogen,
    sulphur / 100 / molar.sulphur,
    oxygen / 100 / molar.oxygen,
    nitrogen / 100 / molar.nitrogen,
  ]
  return {
    oxygenNeeded: c + h / 4 + s - o / 2,
    carbonDioxide: c,
    sulphurDioxide: s,
    nitrogenOfFuel: n / 2,
    water: h / 2 + water / 100 / molar.water,
  }
}

/** Stoichiometric dry air, kg per kg of fuel. `air`: its oxygen, vol%. Source: stoichiometry; M(air) = 28.965 g/mol. */
export const stoichiometricAir = (fuel: Composition, air: VolumePercent): KilogramPerKilogram => {
  const { oxygenNeeded } = burntMoles(fuel)
  return validValue<KilogramPerKilogram>(
    (oxygenNeeded / (air / 100)) * molar.air,
    isComposition(fuel),
    oxygenNeeded > 0,
    air > 0,
  )
}

/** The boiler guide's rule: (11.6 C + 34.8 (H − O / 8) + 4.35 S) / 100, kg/kg. Source: indirect-method boiler guide of a national energy bureau (from memory). */
export const stoichiometricAirByRule = ({ carbon, hydrogen, oxygen, sulphur }: Composition): KilogramPerKilogram => {
  const value = (11.6 * carbon + 34.8 * (hydrogen - oxygen / 8) + 4.35 * sulphur) / 100
  return validValue<KilogramPerKilogram>(
    value,
    value > 0,
    [carbon, hydrogen, oxygen, sulphur].every((part) => part >= 0),
  )
}

/** kmol per kg of fuel in the flue gas at a dry oxygen content, vol%; `air`: oxygen of the air. */
interface FlueGasMoles {
  readonly carbonDioxide: number
  readonly sulphurDioxide: number
  readonly nitrogen: number
  readonly oxygen: number
  readonly water: number
  readonly dry: number
}

/** Flue gas of complete burning with dry air, thinned until its dry oxygen is `oxygen`. At or above that of the air, and without a fuel that burns, nitrogen, oxygen and the dry sum are NaN. */
export function flueGasMoles(fuel: Composition, oxygen: VolumePercent, air: VolumePercent): FlueGasMoles {
  const burnt = burntMoles(fuel)
  const share = air / 100
  const airNeeded = burnt.oxygenNeeded / share
  const dryAtOne = burnt.carbonDioxide + burnt.sulphurDioxide + burnt.nitrogenOfFuel + airNeeded * (1 - share)
  const isFormed = isComposition(fuel) && burnt.oxygenNeeded > 0 && dryAtOne > 0 && oxygen >= 0 && oxygen < air
  const excessAir = isFormed ? (dryAtOne * oxygen) / (air - oxygen) : Number.NaN
  return {
    carbonDioxide: burnt.carbonDioxide,
    sulphurDioxide: burnt.sulphurDioxide,
    nitrogen: burnt.nitrogenOfFuel + (airNeeded + excessAir) * (1 - share),
    oxygen: excessAir * share,
    water: burnt.water,
    dry: dryAtOne + excessAir,
  }
}

/** Dry flue gas, m3 per kg of fuel at 273.15 K and 101.325 kPa. Source: stoichiometry, ideal gas. */
export const dryFlueGas = (fuel: Composition, oxygen: VolumePercent, air: VolumePercent): CubicMetrePerKilogram =>
  validValue<CubicMetrePerKilogram>(flueGasMoles(fuel, oxygen, air).dry * molarVolume)

/** Water vapour's share of the wet flue gas, from the fuel and dry air. Source: stoichiometry. */
export const flueGasMoisture = (fuel: Composition, oxygen: VolumePercent, air: VolumePercent): Fraction => {
  const { water, dry } = flueGasMoles(fuel, oxygen, air)
  return validValue<Fraction>(water / (water + dry))
}

/** CO2 (with SO2 beside it) of dry flue gas without excess air, vol%. Source: stoichiometry. */
export const carbonDioxideMaximum = (fuel: Composition, air: VolumePercent): VolumePercent => {
  const { carbonDioxide, dry } = flueGasMoles(fuel, 0 as VolumePercent, air)
  return validValue<VolumePercent>((100 * carbonDioxide) / dry)
}

/** CO2 maximum of a hydrocarbon CnHm, vol% dry: 100 n / (n + (n + m/4)(1 − x)/x), x the share of oxygen in air. Source: stoichiometry. */
export const carbonDioxideMaximumOfHydrocarbon = (
  carbons: number,
  hydrogens: number,
  air: VolumePercent,
): VolumePercent => {
  const share = air / 100
  return validValue<VolumePercent>(
    (100 * carbons) / (carbons + (carbons + hydrogens / 4) * ((1 - share) / share)),
    carbons > 0,
    hydrogens >= 0,
    air > 0,
  )
}

/** Water vapour's share of the wet flue gas of CnHm without excess air, dry air. Source: stoichiometry. */
export const moistureOfHydrocarbon = (carbons: number, hydrogens: number, air: VolumePercent): Fraction => {
  const share = air / 100
  const water = hydrogens / 2
  const nitrogen = (carbons + hydrogens / 4) * ((1 - share) / share)
  return validValue<Fraction>(water / (carbons + water + nitrogen), carbons > 0, hydrogens >= 0, air > 0)
}
