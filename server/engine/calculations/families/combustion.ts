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
import { airOxygen, calculation, choice, dryOxygen, type Family, one } from '../calculation.ts'

const air = airOxygen(21)
const carbonDioxide = one('vol%', 'carbon dioxide, dry', [0, 25])
const carbonMonoxide = one('vol%', 'carbon monoxide, dry', [0, 25], 0)
const maximum = one('vol%', 'CO2 maximum of the fuel: natural gas about 11.8, light oil 15.4, wood 20.2', [1, 25])
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
