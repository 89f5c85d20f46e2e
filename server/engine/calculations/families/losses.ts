import {
  dryGasLoss,
  efficiency,
  hydrogenLoss,
  type SiegertFuel,
  siegertFuels,
  stackLoss,
  stackLossByCarbonDioxide,
  stackLossByHeatBalance,
  stackLossLimit,
  unburntGasLoss,
} from '../../combustion/stack-loss.ts'
import { calculation, choice, type Family, one } from '../calculation.ts'
import { analysis, compositionOf } from './stoichiometry.ts'

const gas = one('degC', 'flue-gas temperature', [-50, 1200])
const air = one('degC', 'temperature of the combustion air', [-50, 400])
const oxygen = one('vol%', 'measured oxygen, dry, at the same point and time as the temperature', [0, 20])
const fuels = Object.keys(siegertFuels) as [SiegertFuel, ...SiegertFuel[]]
const fuel = choice(fuels, 'fuel')
const net = 'loss of the net heating value'
const dry = 'flue gas not colder than the air, and nothing condenses; near that of air the value explodes'
const deciding =
  'Rules limit the loss by power and date of building; the rule in force at the site decides, uncertainty included.'
const boilerGuide = 'indirect-method boiler guide of a national energy bureau (recalled)'
const gross = one('kcal/kg', 'gross heating value', [500, 40_000])

export const losses: Family = {
  title: 'Losses and efficiency',
  calculations: [
    calculation({
      name: 'stack-loss',
      purpose: 'flue-gas loss by the Siegert form, from O2',
      inputs: { gas, air, oxygen, fuel },
      result: { name: net, unit: '%' },
      formula: `(gas − air) × (A / (21 − oxygen) + B); ${fuels.map((name) => `${name} A ${siegertFuels[name].a}, B ${siegertFuels[name].b}`).join('; ')}`,
      valid: dry,
      source: '1. BImSchV (2010), Annex 2 no. 3.4.1',
      status: 'published',
      checks: ['C-8', 'C-9'],
      example: { inputs: { gas: '180', air: '20', oxygen: '3', fuel: 'natural gas' }, value: 7.30667 },
      caution: deciding,
      formulaOf: ({ gas, air, oxygen, fuel }) => stackLoss(gas, air, oxygen, fuel),
    }),
    calculation({
      name: 'stack-loss-by-carbon-dioxide',
      purpose: 'flue-gas loss by the older Siegert form, from CO2',
      inputs: { gas, air, carbonDioxide: one('vol%', 'carbon dioxide, dry', [0.5, 25]), fuel },
      result: { name: net, unit: '%' },
      formula: `(gas − air) × (A1 / carbonDioxide + B); ${fuels.map((name) => `${name} A1 ${siegertFuels[name].a1}`).join('; ')}`,
      valid: dry,
      source: 'older edition of the same regulation, EN 50379 practice (recalled)',
      status: 'from memory',
      checks: ['C-10'],
      example: { inputs: { gas: '180', air: '20', carbonDioxide: '13.2', fuel: 'light oil' }, value: 7.18061 },
      formulaOf: ({ gas, air, carbonDioxide, fuel }) => stackLossByCarbonDioxide(gas, air, carbonDioxide, fuel),
    }),
    calculation({
      name: 'stack-loss-by-heat-balance',
      purpose: 'the same loss from the fuel’s analysis and heat capacities: the cross-check',
      inputs: {
        gas: one('degC', 'flue-gas temperature', [0, 400]),
        air: one('degC', 'temperature of the combustion air', [-30, 100]),
        oxygen,
        ...analysis,
        netHeatingValue: one('MJ/kg', 'net heating value', [2, 130]),
      },
      result: { name: net, unit: '%' },
      formula: 'sensible heat of CO2, SO2, N2, O2 and water vapour between air and gas / net heating value',
      valid:
        'water stays vapour; parts add up to at most 100 wt%; within 2 % of stack-loss for natural gas and 1 % for light oil; for liquefied gas, whose printed coefficients lie low, 4 to 5 % above it',
      source: 'plain physics; mean heat capacities recalled',
      status: 'common practice',
      checks: [],
      example: {
        inputs: { gas: '180', air: '20', oxygen: '3', carbon: '74.87', hydrogen: '25.13', netHeatingValue: '50.01' },
        value: 7.4,
        note: 'by hand, methane: 0.3723 kJ/K × 160 K / 802.3 kJ; the Siegert form gives 7.3',
      },
      formulaOf: ({ gas, air, oxygen, netHeatingValue, ...given }) =>
        stackLossByHeatBalance(gas, air, oxygen, compositionOf(given), netHeatingValue),
    }),
    calculation({
      name: 'stack-loss-limit',
      purpose: 'largest flue-gas loss that a small furnace for oil or gas may have, Germany',
      inputs: { power: one('kW', 'nominal heat output', [4, 1e6]) },
      result: { name: 'largest loss of the net heating value', unit: '%' },
      formula: '11 up to 25 kW, 10 up to 50 kW, 9 above',
      valid: 'oil and gas from 4 kW; the uncertainty is taken off the loss before it is compared',
      source: '1. BImSchV (2010), sec. 10',
      status: 'published',
      checks: [],
      example: { inputs: { power: '25' }, value: 11, note: 'as printed' },
      caution: deciding,
      formulaOf: ({ power }) => stackLossLimit(power),
    }),
    calculation({
      name: 'efficiency',
      purpose: 'efficiency that a flue-gas loss leaves',
      inputs: { loss: one('%', 'flue-gas loss', [-20, 100]) },
      result: { name: 'efficiency on the net heating value', unit: '%' },
      formula: '100 − loss',
      valid: 'flue-gas loss alone: neither what the casing loses nor what condensing gains is in it',
      source: '1. BImSchV, sec. 10 limits as restated in a published glossary',
      status: 'published',
      checks: ['C-11'],
      example: { inputs: { loss: '7.306667' }, value: 92.6933 },
      formulaOf: ({ loss }) => efficiency(loss),
    }),
    calculation({
      name: 'dry-gas-loss',
      purpose: 'loss by the heat of the dry flue gas, gross basis',
      inputs: {
        gasPerFuel: one('kg/kg', 'dry flue gas per fuel', [0, 100]),
        heatCapacity: one('kcal/(kg K)', 'its heat capacity', [0.1, 0.5], 0.23),
        gas,
        air,
        gross,
      },
      result: { name: 'loss of the gross heating value', unit: '%' },
      formula: '100 × gasPerFuel × heatCapacity × (gas − air) / gross',
      valid: 'gross basis: never compare with a net one without saying so',
      source: `${boilerGuide}, which prints 9.14`,
      status: 'from memory',
      checks: ['C-16'],
      example: { inputs: { gasPerFuel: '21', gas: '220', air: '27', gross: '10200' }, value: 9.14, note: 'as printed' },
      formulaOf: ({ gasPerFuel, heatCapacity, gas, air, gross }) =>
        dryGasLoss(gasPerFuel, heatCapacity, gas, air, gross),
    }),
    calculation({
      name: 'hydrogen-loss',
      purpose: 'loss by the water that the fuel’s hydrogen becomes, gross basis',
      inputs: { hydrogen: one('kg/kg', 'hydrogen per fuel', [0, 1]), gas, air, gross },
      result: { name: 'loss of the gross heating value', unit: '%' },
      formula: '100 × 9 × hydrogen × (584 + 0.45 × (gas − air)) / gross',
      valid: 'gross basis; about 10 to 11 % for gas, 6 to 7 % for oil',
      source: `${boilerGuide}, which prints 7.1`,
      status: 'from memory',
      checks: ['C-17'],
      example: { inputs: { hydrogen: '0.12', gas: '220', air: '27', gross: '10200' }, value: 7.1, note: 'as printed' },
      formulaOf: ({ hydrogen, gas, air, gross }) => hydrogenLoss(hydrogen, gas, air, gross),
    }),
    calculation({
      name: 'unburnt-gas-loss',
      purpose: 'loss by carbon monoxide, an order of magnitude',
      inputs: {
        carbonMonoxide: one('vol%', 'carbon monoxide, dry', [0, 25]),
        carbonDioxide: one('vol%', 'carbon dioxide, dry', [1, 25]),
        factor: one('%', 'factor of the fuel: natural gas 32 to 35, oil and coal 48 to 60', [20, 80]),
      },
      result: { name: 'loss of the net heating value', unit: '%' },
      formula: 'factor × carbonMonoxide / (carbonMonoxide + carbonDioxide)',
      valid: 'an estimate; CO2 of at least 1 vol%',
      source: 'trade practice (recalled)',
      status: 'from memory',
      checks: [],
      example: {
        inputs: { carbonMonoxide: '0.1', carbonDioxide: '9.9', factor: '35' },
        value: 0.35,
        note: 'by hand: 35 / 100',
      },
      formulaOf: ({ carbonMonoxide, carbonDioxide, factor }) => unburntGasLoss(carbonMonoxide, carbonDioxide, factor),
    }),
  ],
}
