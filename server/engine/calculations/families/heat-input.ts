import {
  dryCarbonDioxideFromOxygen,
  heatInputByCarbonDioxide,
  heatInputByOxygen,
  wetCarbonDioxideFromOxygen,
} from '../../combustion/emission-rate.ts'
import { moistureShare } from '../../conversions/dry-basis.ts'
import { calculation, type Family, one, water } from '../calculation.ts'

const dryFactor = one('dscf/MMBtu', 'F_d of the fuel (f-factor lists them)', [5000, 20_000])
const carbonFactor = one('scf/MMBtu', 'F_c of the fuel', [500, 3000])

export const heatInputs: Family = {
  title: 'Heat input and diluents by F factors',
  calculations: [
    calculation({
      name: 'carbon-dioxide-by-f-factors',
      purpose: 'dry CO2 from dry O2 by the F factors of the fuel',
      inputs: { oxygen: one('vol%', 'oxygen, dry', [-1, 20.9]), carbonFactor, dryFactor },
      result: { name: 'carbon dioxide, dry', unit: 'vol%' },
      formula: '100 × carbonFactor / dryFactor × (20.9 − oxygen) / 20.9',
      valid: 'one fuel',
      source: '40 CFR 75 App. F, eq. F-14a (recalled)',
      status: 'from memory',
      checks: ['P75-4'],
      example: { inputs: { oxygen: '6', carbonFactor: '1800', dryFactor: '9780' }, value: 13.1212 },
      formulaOf: ({ oxygen, carbonFactor, dryFactor }) => dryCarbonDioxideFromOxygen(oxygen, carbonFactor, dryFactor),
    }),
    calculation({
      name: 'wet-carbon-dioxide-by-f-factors',
      purpose: 'wet CO2 from wet O2 by the F factors of the fuel',
      inputs: { oxygen: one('vol%', 'oxygen, wet', [-1, 20.9]), carbonFactor, dryFactor, water },
      result: { name: 'carbon dioxide, wet', unit: 'vol%' },
      formula: '100 / 20.9 × carbonFactor / dryFactor × (20.9 × (1 − water) − oxygen)',
      valid: 'one fuel',
      source: '40 CFR 75 App. F, eq. F-14b (recalled)',
      status: 'from memory',
      checks: [],
      example: {
        inputs: { oxygen: '6', carbonFactor: '1800', dryFactor: '9780', water: '0' },
        value: 13.1212,
        note: 'without water the same as carbon-dioxide-by-f-factors',
      },
      formulaOf: ({ oxygen, carbonFactor, dryFactor, water }) =>
        wetCarbonDioxideFromOxygen(oxygen, carbonFactor, dryFactor, moistureShare(water)),
    }),
    calculation({
      name: 'heat-input-by-oxygen',
      purpose: 'heat input from wet flow and dry oxygen',
      inputs: {
        flow: one('ft3/h', 'wet flow at standard conditions', [0, 1e11]),
        water,
        dryFactor,
        oxygen: one('vol%', 'oxygen, dry', [-1, 20.9]),
      },
      result: { name: 'gross heat input', unit: 'MMBtu/h' },
      formula: 'flow × (1 − water) / dryFactor × (20.9 − oxygen) / 20.9',
      valid: 'one fuel',
      source: '40 CFR 75 App. F, eq. F-18 (recalled)',
      status: 'from memory',
      checks: [],
      example: {
        inputs: { flow: '10622000', water: '18', dryFactor: '8710', oxygen: '0' },
        value: 1000,
        note: 'by hand: 8 710 040 dscf at zero oxygen are 1000 MMBtu',
      },
      formulaOf: ({ flow, water, dryFactor, oxygen }) =>
        heatInputByOxygen(flow, moistureShare(water), dryFactor, oxygen),
    }),
    calculation({
      name: 'heat-input-by-carbon-dioxide',
      purpose: 'heat input from wet flow and wet carbon dioxide',
      inputs: {
        flow: one('ft3/h', 'wet flow at standard conditions', [0, 1e11]),
        carbonDioxide: one('vol%', 'carbon dioxide, wet', [0.1, 25]),
        carbonFactor,
      },
      result: { name: 'gross heat input', unit: 'MMBtu/h' },
      formula: 'flow × carbonDioxide / (100 × carbonFactor)',
      valid: 'one fuel',
      source: '40 CFR 75 App. F, eq. F-15 (recalled)',
      status: 'from memory',
      checks: [],
      example: {
        inputs: { flow: '10400000', carbonDioxide: '10', carbonFactor: '1040' },
        value: 1000,
        note: 'by hand: 1 040 000 scf of CO2 are 1000 MMBtu',
      },
      formulaOf: ({ flow, carbonDioxide, carbonFactor }) => heatInputByCarbonDioxide(flow, carbonDioxide, carbonFactor),
    }),
  ],
}
