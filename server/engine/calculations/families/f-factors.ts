import { type DscfPerMMBtu, type Fraction, type MassPercent, quantity } from '../../../../protocols/words/units.ts'
import {
  carbonFactorOf,
  carbonFactorOfComposition,
  dryFactorOf,
  dryFactorOfComposition,
  type FactorFuel,
  factorOfMixedFuels,
  fuelFactors,
  wetFactorOf,
} from '../../combustion/f-factors.ts'
import { calculation, choice, type Family, one, several } from '../calculation.ts'
import { inUnit } from '../measures.ts'

const method19 = 'US EPA Method 19 (40 CFR 60 App. A-7)'
const fuels = Object.keys(fuelFactors) as [FactorFuel, ...FactorFuel[]]
const fuel = choice(fuels, 'fuel')
const table = `${method19}, Table 19-2; gas rows read in 40 CFR 75 App. F, the others recalled`
const metric =
  'gross heating value, 68 °F and 29.92 inHg; the printed metric column is rounded by itself: convert this one'
const part = (name: string, otherwise: number | null = 0) => one('wt%', name, [0, 100], otherwise)
const gross = one('Btu/lb', 'gross heating value of the same fuel', [500, 70_000])
const dryFactor = { name: 'F_d', unit: 'dscf/MMBtu' } as const

export const fFactors: Family = {
  title: 'F factors',
  calculations: [
    calculation({
      name: 'f-factor',
      purpose: 'dry flue gas per heat input at zero excess air, by fuel',
      inputs: { fuel },
      result: dryFactor,
      formula: `table: ${fuels.map((name) => `${name} ${fuelFactors[name].dry}`).join(', ')}`,
      valid: metric,
      source: table,
      status: 'from memory',
      checks: [],
      example: { inputs: { fuel: 'natural gas' }, value: 8710, note: 'as printed' },
      formulaOf: ({ fuel }) => dryFactorOf(fuel),
    }),
    calculation({
      name: 'wet-f-factor',
      purpose: 'wet flue gas per heat input at zero excess air, by fuel',
      inputs: { fuel },
      result: { name: 'F_w', unit: 'wscf/MMBtu' },
      formula: `table: ${fuels.map((name) => `${name} ${fuelFactors[name].wet ?? 'none'}`).join(', ')}`,
      valid: `${metric}; wood has none`,
      source: table,
      status: 'from memory',
      checks: [],
      example: { inputs: { fuel: 'natural gas' }, value: 10_610, note: 'as printed' },
      formulaOf: ({ fuel }) => wetFactorOf(fuel),
    }),
    calculation({
      name: 'carbon-f-factor',
      purpose: 'carbon dioxide per heat input, by fuel',
      inputs: { fuel },
      result: { name: 'F_c', unit: 'scf/MMBtu' },
      formula: `table: ${fuels.map((name) => `${name} ${fuelFactors[name].carbon}`).join(', ')}`,
      valid: metric,
      source: table,
      status: 'from memory',
      checks: [],
      example: { inputs: { fuel: 'natural gas' }, value: 1040, note: 'as printed' },
      formulaOf: ({ fuel }) => carbonFactorOf(fuel),
    }),
    calculation({
      name: 'f-factor-metric',
      purpose: 'an F_d in metric units',
      inputs: { dryFactor: one('dscf/MMBtu', 'F_d', [1000, 50_000]) },
      result: { name: 'F_d', unit: 'dscm/J' },
      formula: 'dryFactor × 0.028316846592 m³/ft³ / 1.05505585262e9 J/MMBtu',
      valid: 'printed metric factors differ by up to 0.2 %: they are rounded apart',
      source: `${method19}, Table 19-2 (oil, recalled: 2.47e-7)`,
      status: 'from memory',
      checks: ['M19-9'],
      example: { inputs: { dryFactor: '9190' }, value: 2.47e-7, note: 'as printed' },
      formulaOf: ({ dryFactor }) => inUnit(dryFactor, 'dscf/MMBtu', 'dscm/J'),
    }),
    calculation({
      name: 'f-factor-of-composition',
      purpose: 'F_d from an ultimate analysis',
      inputs: {
        carbon: part('carbon', null),
        hydrogen: part('hydrogen', null),
        sulphur: part('sulphur'),
        nitrogen: part('nitrogen'),
        oxygenOfFuel: part('oxygen'),
        gross,
      },
      result: dryFactor,
      formula: '10⁶ × (3.64 hydrogen + 1.53 carbon + 0.57 sulphur + 0.14 nitrogen − 0.46 oxygenOfFuel) / gross',
      valid: 'analysis and heating value of the same fuel on the same basis',
      source: `${method19}, eq. 19-13; constants read in an open implementation that cites it`,
      status: 'published',
      checks: ['M19-6'],
      example: {
        inputs: { carbon: '74.87', hydrogen: '25.13', gross: '23879' },
        value: 8627.84,
        note: 'methane: 1 % below the table',
      },
      formulaOf: ({ carbon, hydrogen, sulphur, nitrogen, oxygenOfFuel, gross }) =>
        dryFactorOfComposition(
          { carbon, hydrogen, sulphur, nitrogen, oxygen: quantity<MassPercent>(oxygenOfFuel) },
          gross,
        ),
    }),
    calculation({
      name: 'carbon-f-factor-of-composition',
      purpose: 'F_c from the carbon of the fuel',
      inputs: { carbon: part('carbon', null), gross },
      result: { name: 'F_c', unit: 'scf/MMBtu' },
      formula: '10⁶ × 0.321 × carbon / gross',
      valid: 'analysis and heating value of the same fuel on the same basis',
      source: `${method19}, eq. 19-15 (recalled)`,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { carbon: '74.87', gross: '23879' },
        value: 1006.5,
        note: 'by hand: 0.321e6 × 74.87 / 23879; methane, 3 % below natural gas of the table',
      },
      formulaOf: ({ carbon, gross }) => carbonFactorOfComposition(carbon, gross),
    }),
    calculation({
      name: 'f-factor-of-mixed-fuels',
      purpose: 'F factor of fuels that burn together',
      inputs: {
        factors: several('dscf/MMBtu', 'F_d of each fuel', [1000, 50_000], [2, 10]),
        shares: several('%', 'their shares of the heat input, in the same order', [0, 100], [2, 10]),
      },
      result: dryFactor,
      formula: 'sum of share × factor',
      valid: 'as many shares as factors; shares that add up to 100 %',
      source: `${method19}, eq. 19-16 (recalled)`,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { factors: '8710,9190', shares: '75,25' },
        value: 8830,
        note: 'by hand: 0.75 × 8710 + 0.25 × 9190',
      },
      formulaOf: ({ factors, shares }) =>
        factorOfMixedFuels(
          factors.map((factor) => quantity<DscfPerMMBtu>(factor)),
          shares.map((share) => quantity<Fraction>(share / 100)),
        ),
    }),
  ],
}
