import { type MassPercent, quantity } from '../../../../protocols/words/units.ts'
import {
  airRatio,
  carbonDioxideFromOxygen,
  carbonMonoxideRatio,
  excessAirFromAnalysis,
  excessAirFromOxygen,
  oxygenFromCarbonDioxide,
} from '../../combustion/excess-air.ts'
import {
  expectedFuelFactor,
  type FuelWithRange,
  fitsFuel,
  fuelFactor,
  fuelFactorRanges,
} from '../../combustion/fuel-factor.ts'
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
import { airOxygen, calculation, choice, dryOxygen, type Family, one } from '../calculation.ts'

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
const carbonDioxide = one('vol%', 'carbon dioxide, dry', [0, 25])
const carbonMonoxide = one('vol%', 'carbon monoxide, dry', [0, 25], 0)
const maximum = one('vol%', 'CO2 maximum of the fuel: natural gas about 11.8, light oil 15.4, wood 20.2', [1, 25])
const composed = 'parts that add up to at most 100 wt% and need oxygen; complete burning with dry air'
const fuels = Object.keys(fuelFactorRanges) as [FuelWithRange, ...FuelWithRange[]]
const method3b = 'US EPA Method 3B (40 CFR 60 App. A-2)'

export const combustions: Family = {
  title: 'Combustion',
  calculations: [
    calculation({
      name: 'excess-air',
      purpose: 'excess air from a dry analysis of the flue gas',
      inputs: { oxygen: dryOxygen, carbonDioxide, carbonMonoxide },
      result: { name: 'excess air', unit: '%' },
      formula:
        '100 × (oxygen − 0.5 carbonMonoxide) / (0.264 × nitrogen − (oxygen − 0.5 carbonMonoxide)), nitrogen the rest',
      valid: 'fuels without nitrogen of their own; oxygen well below that of the air',
      source: `${method3b}, eq. 3B-1 (recalled); agrees with 90 × O2 / (21 − O2) of a handbook`,
      status: 'from memory',
      checks: ['M3B-1'],
      example: { inputs: { oxygen: '3', carbonDioxide: '10.1' }, value: 15.04 },
      formulaOf: ({ oxygen, carbonDioxide, carbonMonoxide }) =>
        excessAirFromAnalysis(oxygen, carbonDioxide, carbonMonoxide),
    }),
    calculation({
      name: 'excess-air-by-oxygen',
      purpose: 'excess air from dry oxygen and the fuel’s ratio of gas to air',
      inputs: {
        oxygen: one('vol%', 'measured oxygen, dry', [0, 20.5]),
        gasPerAir: one(
          '1',
          'dry stoichiometric gas per air: methane 0.895, oil 0.93, coal and wood 0.97 to 1',
          [0.8, 1.1],
          0.895,
        ),
        air,
      },
      result: { name: 'excess air', unit: '%' },
      formula: '100 × gasPerAir × oxygen / (air − oxygen)',
      valid: 'complete burning, oxygen below that of the air',
      source: 'stoichiometry; the Handbook of Energy Engineering Calculations has 90 × O2 / (21 − O2)',
      status: 'published',
      checks: ['C-7'],
      example: { inputs: { oxygen: '3' }, value: 14.92 },
      formulaOf: ({ oxygen, gasPerAir, air }) => excessAirFromOxygen(oxygen, air, gasPerAir),
    }),
    calculation({
      name: 'air-ratio',
      purpose: 'air ratio λ by the quick formula',
      inputs: { oxygen: one('vol%', 'measured oxygen, dry', [0, 20.5]), air },
      result: { name: 'air ratio', unit: '1' },
      formula: 'air / (air − oxygen)',
      valid: 'a first look: for gas up to two points of excess air too high; excess-air-by-oxygen is right',
      source: 'common practice',
      status: 'common practice',
      checks: ['C-6'],
      example: { inputs: { oxygen: '4.2' }, value: 1.25 },
      formulaOf: ({ oxygen, air }) => airRatio(oxygen, air),
    }),
    calculation({
      name: 'fuel-factor',
      purpose: 'F_o of the flue gas, which tells a wrong analyser or fuel',
      inputs: { oxygen: dryOxygen, carbonDioxide: one('vol%', 'carbon dioxide, dry', [0.1, 25]), carbonMonoxide },
      result: { name: 'fuel factor F_o', unit: '1' },
      formula: '(20.9 − (oxygen − 0.5 carbonMonoxide)) / (carbonDioxide + carbonMonoxide)',
      valid: 'measured, not computed, CO2; oxygen below 20.9 vol%. Air that leaks in cancels out: this is no leak test',
      source: `${method3b}, eq. 3B-3; formula also in an open encyclopaedia entry`,
      status: 'published',
      checks: ['M3B-2', 'M3B-3'],
      example: { inputs: { oxygen: '3', carbonDioxide: '10.1' }, value: 1.77228 },
      formulaOf: ({ oxygen, carbonDioxide, carbonMonoxide }) => fuelFactor(oxygen, carbonDioxide, carbonMonoxide),
    }),
    calculation({
      name: 'expected-fuel-factor',
      purpose: 'F_o that the F factors of a fuel lead to',
      inputs: {
        dryFactor: one('dscf/MMBtu', 'F_d of the fuel', [5000, 20_000]),
        carbonFactor: one('scf/MMBtu', 'F_c of the fuel', [500, 3000]),
      },
      result: { name: 'fuel factor F_o', unit: '1' },
      formula: '0.209 × dryFactor / carbonFactor',
      valid: 'one fuel',
      source: '40 CFR 60.4213(d)(3), 63.6620 (procedure read, image of the equation recalled)',
      status: 'from memory',
      checks: ['M3B-4'],
      example: { inputs: { dryFactor: '8710', carbonFactor: '1040' }, value: 1.75037 },
      formulaOf: ({ dryFactor, carbonFactor }) => expectedFuelFactor(dryFactor, carbonFactor),
    }),
    calculation({
      name: 'fuel-factor-check',
      purpose: 'whether a measured F_o fits the fuel',
      inputs: { fuelFactor: one('1', 'measured F_o', [0.1, 10]), fuel: choice(fuels, 'fuel') },
      result: { name: 'check', unit: '' },
      formula: `within the fuel’s range: ${fuels.map((fuel) => `${fuel} ${fuelFactorRanges[fuel].join(' to ')}`).join('; ')}`,
      valid: 'outside: wrong fuel setting, an error of O2 or CO2, CO2 from lime or a scrubber, or wet mixed with dry',
      source: `${method3b}, ranges recalled`,
      status: 'from memory',
      checks: [],
      example: { inputs: { fuelFactor: '1.772', fuel: 'natural gas' }, value: 'fits the fuel' },
      formulaOf: ({ fuelFactor, fuel }) => {
        const fits = fitsFuel(fuelFactor, fuel)
        return fits === null ? null : fits ? 'fits the fuel' : 'does not fit the fuel'
      },
    }),
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
      name: 'carbon-dioxide-by-oxygen',
      purpose: 'CO2 from measured O2 and the fuel’s maximum',
      inputs: { oxygen: one('vol%', 'measured oxygen, dry', [0, 21]), maximum, air },
      result: { name: 'carbon dioxide, dry', unit: 'vol%' },
      formula: 'maximum × (air − oxygen) / air',
      valid: 'complete burning of one fuel; a computed value must enter no check of the fuel',
      source: 'common European practice',
      status: 'common practice',
      checks: ['C-5'],
      example: { inputs: { oxygen: '4.2', maximum: '11.8' }, value: 9.44 },
      formulaOf: ({ oxygen, maximum, air }) => carbonDioxideFromOxygen(oxygen, air, maximum),
    }),
    calculation({
      name: 'oxygen-by-carbon-dioxide',
      purpose: 'O2 from measured CO2 and the fuel’s maximum',
      inputs: { carbonDioxide, maximum, air },
      result: { name: 'oxygen, dry', unit: 'vol%' },
      formula: 'air × (1 − carbonDioxide / maximum)',
      valid: 'complete burning of one fuel; carbonDioxide up to the maximum',
      source: 'common European practice',
      status: 'common practice',
      checks: [],
      example: { inputs: { carbonDioxide: '9.44', maximum: '11.8' }, value: 4.2, note: 'the way back of C-5' },
      formulaOf: ({ carbonDioxide, maximum, air }) => oxygenFromCarbonDioxide(carbonDioxide, air, maximum),
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
      formula: '(CO2 + SO2 + nitrogen + excess air) of complete burning × 22.414 m³/kmol',
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
    calculation({
      name: 'carbon-monoxide-ratio',
      purpose: 'CO over CO2, a look at how well a burner burns',
      inputs: {
        carbonMonoxide: one('ppm', 'carbon monoxide', [0, 1e5]),
        carbonDioxide: one('vol%', 'carbon dioxide, same basis', [1, 25]),
      },
      result: { name: 'ratio', unit: '1' },
      formula: 'carbonMonoxide / 10 000 / carbonDioxide',
      valid: 'CO2 of at least 1 vol%: in purge air the ratio says nothing',
      source: 'BS 7967 practice: condensing boilers stay below 0.004 (and 350 ppm)',
      status: 'published',
      checks: ['C-15'],
      example: { inputs: { carbonMonoxide: '40', carbonDioxide: '8' }, value: 0.0005, note: 'as printed' },
      caution:
        'Carbon monoxide kills. A good ratio does not prove that an appliance is safe: its flue, its air and the room count too, by local codes and licensed practice.',
      formulaOf: ({ carbonMonoxide, carbonDioxide }) => carbonMonoxideRatio(carbonMonoxide, carbonDioxide),
    }),
  ],
}
