import type { LbPerScfPerPpm, Ppm } from '../../../../protocols/words/units.ts'
import {
  emissionRate1,
  emissionRate2,
  emissionRate3,
  emissionRate4,
  emissionRate5,
  emissionRate6,
  emissionRate7,
  emissionRate8,
  emissionRate9,
  emissionRateCapped,
  emissionRateCappedByCarbonDioxide,
  type Pollutant,
  removal,
} from '../../combustion/emission-rate.ts'
import { moistureShare } from '../../conversions/dry-basis.ts'
import {
  type Calculation,
  calculation,
  type Family,
  type Input,
  one,
  type WorkedExample,
  water,
} from '../calculation.ts'
import { inUnit } from '../measures.ts'

const method19 = 'US EPA Method 19 (40 CFR 60 App. A-7)'
const pollutant = (basis: 'dry' | 'wet') => one('ppm', `pollutant, ${basis}`, [-1e5, 1e6])
const constant = one('lb/scf/ppm', 'K: 1.194e-7 for NOx, 1.660e-7 for SO2, 7.269e-8 for CO', [1e-9, 1e-5])
const dryFactor = one('dscf/MMBtu', 'F_d of the fuel (f-factor lists them)', [5000, 20_000])
const wetFactor = one('wscf/MMBtu', 'F_w of the fuel', [5000, 25_000])
const carbonFactor = one('scf/MMBtu', 'F_c of the fuel', [500, 3000])
const oxygen = (basis: 'dry' | 'wet') => one('vol%', `oxygen, ${basis}`, [-1, 20.8])
const carbonDioxide = (basis: 'dry' | 'wet') => one('vol%', `carbon dioxide, ${basis}`, [0.1, 25])
const of = (ppm: Ppm, k: LbPerScfPerPpm): Pollutant => ({ ppm, constant: k })
const rate = { name: 'emission rate per gross heat input', unit: 'lb/MMBtu' } as const
const source = (equation: string, more = '') => `${method19}, eq. ${equation}${more}`
const withOxygen = 'oxygen well below 20.9 vol%; F factors are on the gross heating value: never with a net one'
const withCarbonDioxide = 'CO2 from burning alone; F factors are on the gross heating value'
const same = 'the same gas as in emission-rate-19-1, so the same rate'

type Numbers = Readonly<Record<string, Input>>
/** What the nine equations have in common. */
const equation = <const I extends Numbers>(
  number: string,
  purpose: string,
  inputs: I,
  formula: string,
  rest: {
    valid: string
    status: Calculation['status']
    checks: readonly string[]
    example: WorkedExample
    more?: string
  },
  formulaOf: Parameters<typeof calculation<I>>[0]['formulaOf'],
): Calculation =>
  calculation<I>({
    name: `emission-rate-${number}`,
    purpose,
    inputs,
    result: rate,
    formula,
    valid: rest.valid,
    source: source(number, rest.more),
    status: rest.status,
    checks: rest.checks,
    example: rest.example,
    formulaOf,
  })

const nox = { constant: '1.194e-7' }
const rates: readonly Calculation[] = [
  equation(
    '19-1',
    'emission rate by dry pollutant and dry oxygen',
    { pollutant: pollutant('dry'), constant, dryFactor, oxygen: oxygen('dry') },
    'pollutant × constant × dryFactor × 20.9 / (20.9 − oxygen)',
    {
      valid: withOxygen,
      status: 'published',
      checks: ['M19-1'],
      example: { inputs: { ...nox, pollutant: '100', dryFactor: '8710', oxygen: '3' }, value: 0.121427 },
      more: '; K of Table 19-1, 40 CFR 60.4400, 60.64',
    },
    ({ pollutant, constant, dryFactor, oxygen }) => emissionRate1(of(pollutant, constant), dryFactor, oxygen),
  ),
  equation(
    '19-2',
    'emission rate by wet pollutant and wet oxygen with F_w',
    {
      pollutant: pollutant('wet'),
      constant,
      wetFactor,
      oxygen: oxygen('wet'),
      ambientWater: one('vol%', 'water vapour of the combustion air; 2.7 if not known', [0, 10], 2.7),
    },
    'pollutant × constant × wetFactor × 20.9 / (20.9 × (1 − ambientWater) − oxygen)',
    {
      valid: `${withOxygen}; not for wet scrubbers or added water`,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { ...nox, pollutant: '82', wetFactor: '10610', oxygen: '2.46', ambientWater: '0' },
        value: 0.1177,
        note: 'by hand: 82 × 1.194e-7 × 10610 × 20.9 / 18.44',
      },
    },
    ({ pollutant, constant, wetFactor, oxygen, ambientWater }) =>
      emissionRate2(of(pollutant, constant), wetFactor, oxygen, moistureShare(ambientWater)),
  ),
  equation(
    '19-3',
    'emission rate by wet pollutant and wet oxygen with F_d',
    { pollutant: pollutant('wet'), constant, dryFactor, oxygen: oxygen('wet'), water },
    'pollutant × constant × dryFactor × 20.9 / (20.9 × (1 − water) − oxygen)',
    {
      valid: withOxygen,
      status: 'from memory',
      checks: ['M19-5'],
      example: {
        inputs: { ...nox, pollutant: '82', dryFactor: '8710', oxygen: '2.46', water: '18' },
        value: 0.121427,
        note: same,
      },
    },
    ({ pollutant, constant, dryFactor, oxygen, water }) =>
      emissionRate3(of(pollutant, constant), dryFactor, oxygen, moistureShare(water)),
  ),
  equation(
    '19-4',
    'emission rate by wet pollutant and dry oxygen',
    { pollutant: pollutant('wet'), constant, dryFactor, oxygen: oxygen('dry'), water },
    'pollutant × constant × dryFactor × 20.9 / ((1 − water) × (20.9 − oxygen))',
    {
      valid: withOxygen,
      status: 'from memory',
      checks: ['M19-3'],
      example: {
        inputs: { ...nox, pollutant: '82', dryFactor: '8710', oxygen: '3', water: '18' },
        value: 0.121427,
        note: same,
      },
    },
    ({ pollutant, constant, dryFactor, oxygen, water }) =>
      emissionRate4(of(pollutant, constant), dryFactor, oxygen, moistureShare(water)),
  ),
  equation(
    '19-5',
    'emission rate by dry pollutant and wet oxygen',
    { pollutant: pollutant('dry'), constant, dryFactor, oxygen: oxygen('wet'), water },
    'pollutant × constant × dryFactor × 20.9 / (20.9 − oxygen / (1 − water))',
    {
      valid: withOxygen,
      status: 'from memory',
      checks: ['M19-4'],
      example: {
        inputs: { ...nox, pollutant: '100', dryFactor: '8710', oxygen: '2.46', water: '18' },
        value: 0.121427,
        note: same,
      },
    },
    ({ pollutant, constant, dryFactor, oxygen, water }) =>
      emissionRate5(of(pollutant, constant), dryFactor, oxygen, moistureShare(water)),
  ),
  equation(
    '19-6',
    'emission rate by dry pollutant and dry carbon dioxide',
    { pollutant: pollutant('dry'), constant, carbonFactor, carbonDioxide: carbonDioxide('dry') },
    'pollutant × constant × carbonFactor × 100 / carbonDioxide',
    {
      valid: withCarbonDioxide,
      status: 'from memory',
      checks: ['M19-2'],
      example: {
        inputs: { ...nox, pollutant: '100', carbonFactor: '1040', carbonDioxide: '10.2269' },
        value: 0.12142,
        note: 'CO2 that belongs to 3 % O2 for these factors, so the rate of emission-rate-19-1',
      },
    },
    ({ pollutant, constant, carbonFactor, carbonDioxide }) =>
      emissionRate6(of(pollutant, constant), carbonFactor, carbonDioxide),
  ),
  equation(
    '19-7',
    'emission rate by wet pollutant and wet carbon dioxide',
    { pollutant: pollutant('wet'), constant, carbonFactor, carbonDioxide: carbonDioxide('wet') },
    'pollutant × constant × carbonFactor × 100 / carbonDioxide',
    {
      valid: withCarbonDioxide,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { ...nox, pollutant: '82', carbonFactor: '1040', carbonDioxide: '8.386058' },
        value: 0.12142,
        note: 'the gas of emission-rate-19-6 at 18 % water, so the same rate',
      },
    },
    ({ pollutant, constant, carbonFactor, carbonDioxide }) =>
      emissionRate7(of(pollutant, constant), carbonFactor, carbonDioxide),
  ),
  equation(
    '19-8',
    'emission rate by wet pollutant and dry carbon dioxide',
    { pollutant: pollutant('wet'), constant, carbonFactor, carbonDioxide: carbonDioxide('dry'), water },
    'pollutant × constant × carbonFactor × 100 / ((1 − water) × carbonDioxide)',
    {
      valid: withCarbonDioxide,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { ...nox, pollutant: '82', carbonFactor: '1040', carbonDioxide: '10.2269', water: '18' },
        value: 0.12142,
        note: 'the gas of emission-rate-19-6 at 18 % water, so the same rate',
      },
    },
    ({ pollutant, constant, carbonFactor, carbonDioxide, water }) =>
      emissionRate8(of(pollutant, constant), carbonFactor, carbonDioxide, moistureShare(water)),
  ),
  equation(
    '19-9',
    'emission rate by dry pollutant and wet carbon dioxide',
    { pollutant: pollutant('dry'), constant, carbonFactor, carbonDioxide: carbonDioxide('wet'), water },
    'pollutant × constant × (1 − water) × carbonFactor × 100 / carbonDioxide',
    {
      valid: withCarbonDioxide,
      status: 'from memory',
      checks: [],
      example: {
        inputs: { ...nox, pollutant: '100', carbonFactor: '1040', carbonDioxide: '8.386058', water: '18' },
        value: 0.12142,
        note: 'the gas of emission-rate-19-6 at 18 % water, so the same rate',
      },
    },
    ({ pollutant, constant, carbonFactor, carbonDioxide, water }) =>
      emissionRate9(of(pollutant, constant), carbonFactor, carbonDioxide, moistureShare(water)),
  ),
]

export const emissionRates: Family = {
  title: 'Emission rates per heat input',
  calculations: [
    ...rates,
    calculation({
      name: 'emission-rate-capped',
      purpose: 'emission rate by eq. 19-1 with the diluent cap on oxygen',
      inputs: {
        pollutant: pollutant('dry'),
        constant,
        dryFactor,
        oxygen: one('vol%', 'oxygen, dry', [-1, 21]),
        cap: one('vol%', 'cap on oxygen: boilers 14.0, turbines 19.0', [10, 20], 14),
      },
      result: rate,
      formula: 'pollutant × constant × dryFactor × 20.9 / (20.9 − the lower of oxygen and cap)',
      valid: 'hours beyond the cap, lb/MMBtu alone; ppm and the reported oxygen are never capped',
      source: '40 CFR 75 App. F sec. 3.3.4.1, eq. F-5 (boilers read, turbines recalled)',
      status: 'published',
      checks: ['P75-3'],
      example: { inputs: { ...nox, pollutant: '40', dryFactor: '8710', oxygen: '17.5' }, value: 0.126003 },
      formulaOf: ({ pollutant, constant, dryFactor, oxygen, cap }) =>
        emissionRateCapped(of(pollutant, constant), dryFactor, oxygen, cap),
    }),
    calculation({
      name: 'emission-rate-capped-by-carbon-dioxide',
      purpose: 'emission rate by eq. 19-6 with the diluent cap on carbon dioxide',
      inputs: {
        pollutant: pollutant('dry'),
        constant,
        carbonFactor,
        carbonDioxide: one('vol%', 'carbon dioxide, dry', [0, 25]),
        cap: one('vol%', 'least carbon dioxide: boilers 5.0, turbines 1.0', [0.5, 10], 5),
      },
      result: rate,
      formula: 'pollutant × constant × carbonFactor × 100 / the higher of carbonDioxide and cap',
      valid: 'hours beyond the cap, lb/MMBtu alone; ppm and the reported CO2 are never capped',
      source: '40 CFR 75 App. F sec. 3.3.4.1, eq. F-6 (boilers read, turbines recalled)',
      status: 'published',
      checks: [],
      example: {
        inputs: { ...nox, pollutant: '40', carbonFactor: '1040', carbonDioxide: '2' },
        value: 0.09934,
        note: 'by hand: 40 × 1.194e-7 × 1040 × 100 / 5',
      },
      formulaOf: ({ pollutant, constant, carbonFactor, carbonDioxide, cap }) =>
        emissionRateCappedByCarbonDioxide(of(pollutant, constant), carbonFactor, carbonDioxide, cap),
    }),
    calculation({
      name: 'emission-rate-metric',
      purpose: 'an emission rate per heat input in other units',
      inputs: { rate: one('lb/MMBtu', 'emission rate per gross heat input', [-1e4, 1e6]) },
      result: { name: 'the same per joule', unit: 'ng/J' },
      formula: 'rate × 453.59237 g/lb / 1.05505585262 GJ/MMBtu: 1 lb/MMBtu is 429.92 ng/J',
      valid: 'US subparts round to 430 ng/J',
      source: 'unit definitions',
      status: 'published',
      checks: ['M19-11'],
      example: { inputs: { rate: '0.1' }, value: 43, note: 'as printed' },
      formulaOf: ({ rate }) => inUnit(rate, 'lb/MMBtu', 'ng/J'),
    }),
    calculation({
      name: 'removal',
      purpose: 'what a control device removes',
      inputs: {
        into: one('lb/MMBtu', 'emission rate before', [1e-9, 1e6]),
        outOf: one('lb/MMBtu', 'emission rate after', [-1e4, 1e6]),
      },
      result: { name: 'removal', unit: '%' },
      formula: '100 × (1 − outOf / into)',
      valid: 'rates in the same unit, of the same time',
      source: `${method19}, sec. 12.4; same form 40 CFR 63.6620(e)`,
      status: 'published',
      checks: ['M19-10'],
      example: { inputs: { into: '1.84', outOf: '0.115' }, value: 93.75 },
      formulaOf: ({ into, outOf }) => removal(into, outOf),
    }),
  ],
}
