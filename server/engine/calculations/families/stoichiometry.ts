import { type MassPercent, quantity } from '../../../../protocols/words/units.ts'
import {
  type Composition,
  carbonDioxideMaximum,
  carbonDioxideMaximumOfHydrocarbon,
  dryFlueGas,
  flueGasMoisture,
  moistureOfHydrocarbon,
  stoichiometricAir,
  stoichiometricAirByRule,
} from '../../combustion/stoichiometry.ts'
import { airOxygen, calculation, type Family, one } from '../calculation.ts'

const part = (name: string, otherwise: number | null = 0) => one('wt%', name, [0, 100], otherwise)
/** An ultimate analysis as fired. */
export const analysis = {
  carbon: part('carbon in the fuel as fired', null),
  hydrogen: part('hydrogen, without that of the water', null),
  oxygenOfFuel: part('oxygen, without that of the water'),
  sulphur: part('sulphur'),
  nitrogen: part('nitrogen'),
  waterOfFuel: part('water of the fuel'),
}
export const compositionOf = (given: Readonly<Record<keyof typeof analysis, number>>): Composition => {
  const of = (value: number) => quantity<MassPercent>(value)
  return {
    carbon: of(given.carbon),
    hydrogen: of(given.hydrogen),
    sulphur: of(given.sulphur),
    nitrogen: of(given.nitrogen),
    oxygen: of(given.oxygenOfFuel),
    water: of(given.waterOfFuel),
  }
}
const air = airOxygen(21)
const excessOxygen = one('vol%', 'oxygen of the flue gas, dry', [0, 20], 0)
const carbons = one('1', 'carbon atoms n of CnHm', [0.1, 60])
const hydrogens = one('1', 'hydrogen atoms m of CnHm', [0, 130])
const composed = 'parts that add up to at most 100 wt% and need oxygen; complete burning with dry air'

export const stoichiometries: Family = {
  title: 'Stoichiometry of the fuel',
  calculations: [
    calculation({
      name: 'carbon-dioxide-maximum-of-hydrocarbon',
      purpose: 'CO2 of dry flue gas without excess air, from CnHm',
      inputs: { carbons, hydrogens, air },
      result: { name: 'CO2 maximum', unit: 'vol%' },
      formula: '100 n / (n + (n + m / 4) × (1 − air) / air)',
      valid: 'complete burning of CnHm',
      source: 'stoichiometry; tables quote 11.7 for methane, 13.7 to 13.8 for propane',
      status: 'common practice',
      checks: ['C-1', 'C-2'],
      example: { inputs: { carbons: '1', hydrogens: '4' }, value: 11.73 },
      formulaOf: ({ carbons, hydrogens, air }) => carbonDioxideMaximumOfHydrocarbon(carbons, hydrogens, air),
    }),
    calculation({
      name: 'carbon-dioxide-maximum',
      purpose: 'CO2 of dry flue gas without excess air, from an ultimate analysis',
      inputs: { ...analysis, air },
      result: { name: 'CO2 maximum', unit: 'vol%' },
      formula: 'CO2 / (CO2 + SO2 + nitrogen of fuel and air) of complete burning',
      valid: composed,
      source: 'stoichiometry',
      status: 'common practice',
      checks: [],
      example: {
        inputs: { carbon: '74.87', hydrogen: '25.13' },
        value: 11.73,
        note: 'methane, so as carbon-dioxide-maximum-of-hydrocarbon',
      },
      formulaOf: ({ air, ...given }) => carbonDioxideMaximum(compositionOf(given), air),
    }),
    calculation({
      name: 'stoichiometric-air',
      purpose: 'dry air that complete burning needs, from an ultimate analysis',
      inputs: { ...analysis, air },
      result: { name: 'air per fuel', unit: 'kg/kg' },
      formula: '(C/12.011 + H/4.032 + S/32.06 − O/31.998) / air × 28.965',
      valid: composed,
      source: 'stoichiometry; open engineering worked example, which prints 9.9798',
      status: 'published',
      checks: ['C-3'],
      example: {
        inputs: { carbon: '75', hydrogen: '5', oxygenOfFuel: '10', sulphur: '2' },
        value: 9.98,
        note: 'as printed, to two decimals',
      },
      formulaOf: ({ air, ...given }) => stoichiometricAir(compositionOf(given), air),
    }),
    calculation({
      name: 'stoichiometric-air-by-rule',
      purpose: 'the same by the boiler guide’s rule',
      inputs: analysis,
      result: { name: 'air per fuel', unit: 'kg/kg' },
      formula: '(11.6 carbon + 34.8 (hydrogen − oxygenOfFuel / 8) + 4.35 sulphur) / 100',
      valid: 'oil and coal',
      source: 'indirect-method boiler guide of a national energy bureau (recalled), which prints 14',
      status: 'from memory',
      checks: ['C-4'],
      example: {
        inputs: { carbon: '84', hydrogen: '12', sulphur: '3', oxygenOfFuel: '1' },
        value: 14,
        note: 'as printed',
      },
      formulaOf: (given) => stoichiometricAirByRule(compositionOf(given)),
    }),
    calculation({
      name: 'dry-flue-gas',
      purpose: 'dry flue gas of a fuel at 0 °C and 101.325 kPa',
      inputs: { ...analysis, oxygen: excessOxygen, air },
      result: { name: 'dry flue gas per fuel', unit: 'm3/kg' },
      formula: '(CO2 + SO2 + nitrogen + excess air) of complete burning × 22.41397 m³/kmol',
      valid: `${composed}; oxygen below that of the air`,
      source: 'stoichiometry, ideal gas',
      status: 'common practice',
      checks: [],
      example: {
        inputs: { carbon: '100', hydrogen: '0', oxygen: '0' },
        value: 8.886,
        note: 'by hand: carbon needs its own volume of O2 and leaves as much gas as air: 22.414 / 12.011 / 0.21',
      },
      formulaOf: ({ oxygen, air, ...given }) => dryFlueGas(compositionOf(given), oxygen, air),
    }),
    calculation({
      name: 'flue-gas-moisture',
      purpose: 'water vapour of flue gas from the fuel',
      inputs: { ...analysis, oxygen: excessOxygen, air },
      result: { name: 'water vapour in the wet gas', unit: 'vol%' },
      formula: 'water of the fuel’s hydrogen and moisture / wet flue gas',
      valid: `${composed}; humid air and injected steam come on top`,
      source: 'stoichiometry',
      status: 'common practice',
      checks: [],
      example: { inputs: { carbon: '74.87', hydrogen: '25.13' }, value: 19, note: 'methane: 2 of 10.52 volumes' },
      formulaOf: ({ oxygen, air, ...given }) => 100 * flueGasMoisture(compositionOf(given), oxygen, air),
    }),
    calculation({
      name: 'flue-gas-moisture-of-hydrocarbon',
      purpose: 'water vapour of flue gas without excess air, from CnHm and dry air',
      inputs: { carbons, hydrogens, air },
      result: { name: 'water vapour in the wet gas', unit: 'vol%' },
      formula: '(m / 2) / (n + m / 2 + (n + m / 4) × (1 − air) / air)',
      valid: 'complete burning of CnHm with dry air',
      source: 'stoichiometry',
      status: 'common practice',
      checks: ['C-13'],
      example: { inputs: { carbons: '1', hydrogens: '4' }, value: 19.0045 },
      formulaOf: ({ carbons, hydrogens, air }) => 100 * moistureOfHydrocarbon(carbons, hydrogens, air),
    }),
  ],
}
