import { type Species, speciesTable } from '../../../../protocols/words/species.ts'
import {
  type GramPerMol,
  type Kilopascal,
  type MgPerM3,
  type Quantity,
  quantity,
} from '../../../../protocols/words/units.ts'
import { poundsPerScf } from '../../combustion/emission-rate.ts'
import { dryBasis, moistureShare } from '../../conversions/dry-basis.ts'
import {
  atConditions,
  type Conditions,
  massConcentration,
  volumeFraction,
} from '../../conversions/mass-concentration.ts'
import { nitrogenOxides, statedMolarMass } from '../../conversions/nox.ts'
import { wetBasis } from '../../conversions/wet-basis.ts'
import { calculation, choice, concentration, type Family, one, water } from '../calculation.ts'

const gases = Object.keys(speciesTable) as [Species, ...Species[]]
const gas = choice(gases, 'the gas; NOx is stated as NO2')
const kelvin = one('K', 'temperature that the volume is stated at', [200, 1500], 273.15)
const kilopascal = one('kPa', 'absolute pressure that the volume is stated at', [50, 200], 101.325)
const at = (temperature: Quantity<'K'>, pressure: Kilopascal): Conditions => ({
  kelvin: temperature,
  kilopascal: pressure,
})
const molarMass = one('g/mol', 'molar mass', [1, 500])
const ppmRange = [-1e6, 1e6] as const
const massRange = [-1e7, 1e7] as const

export const concentrations: Family = {
  title: 'Concentrations and conditions',
  calculations: [
    calculation({
      name: 'mass-concentration',
      purpose: 'a gas in ppm as mg/m³ at a stated temperature and pressure',
      inputs: { fraction: one('ppm', 'share of the volume', ppmRange), gas, temperature: kelvin, pressure: kilopascal },
      result: { name: 'mass concentration', unit: 'mg/m3' },
      formula: 'fraction × molar mass × pressure / (R × temperature), R = 8.31446261815324 J/(mol K)',
      valid: 'ideal gases; texts that take SO2 as a real gas print 2.93 mg/m³ per ppm in place of 2.86',
      source:
        'ideal gas law; US 40 CFR 60.4244(d) prints 1.912e-3 g/m³ per ppm of NO2 at 20 °C; EU two-decimal factors 1.25, 1.34, 2.05, 2.86',
      status: 'published',
      checks: ['EU-5', 'EU-6', 'EU-7', 'EU-8', 'EU-10', 'EU-12', 'GT-5'],
      example: { inputs: { fraction: '100', gas: 'CO', temperature: '20degC' }, value: 116.441 },
      formulaOf: ({ fraction, gas, temperature, pressure }) =>
        massConcentration(fraction, statedMolarMass(gas, 'NO2'), at(temperature, pressure)),
    }),
    calculation({
      name: 'volume-fraction',
      purpose: 'a gas in mg/m³ as ppm',
      inputs: { mass: one('mg/m3', 'mass concentration', massRange), gas, temperature: kelvin, pressure: kilopascal },
      result: { name: 'share of the volume', unit: 'ppm' },
      formula: 'mass × R × temperature / (molar mass × pressure)',
      valid: 'ideal gases',
      source: 'ideal gas law; open engineering worked example',
      status: 'published',
      checks: ['EU-11'],
      example: { inputs: { mass: '20', gas: 'NO2', temperature: '25degC' }, value: 10.6, note: 'as printed' },
      formulaOf: ({ mass, gas, temperature, pressure }) =>
        volumeFraction(mass, statedMolarMass(gas, 'NO2'), at(temperature, pressure)),
    }),
    calculation({
      name: 'nitrogen-oxides-mass',
      purpose: 'NO and NO2 in ppm as one mass concentration, stated as NO2',
      inputs: {
        no: one('ppm', 'nitric oxide', ppmRange),
        no2: one('ppm', 'nitrogen dioxide, same basis', ppmRange),
        temperature: kelvin,
        pressure: kilopascal,
      },
      result: { name: 'nitrogen oxides as NO2', unit: 'mg/m3' },
      formula: '(no + no2) × 46.0055 × pressure / (R × temperature)',
      valid: 'limits that state NOx as NO2; adding 1.34 NO and 2.05 NO2 would read a third low',
      source: 'EN 14792 (scope), Directives 2010/75/EU and (EU) 2015/2193: NOx expressed as NO2',
      status: 'published',
      checks: ['EU-9'],
      example: { inputs: { no: '80', no2: '4' }, value: 172.413 },
      formulaOf: ({ no, no2, temperature, pressure }) =>
        massConcentration(nitrogenOxides(no, no2), statedMolarMass('NOx', 'NO2'), at(temperature, pressure)),
    }),
    calculation({
      name: 'dry-basis',
      purpose: 'a concentration measured in wet gas, on the dry basis',
      inputs: { wet: concentration('concentration in the wet gas'), water },
      result: { name: 'concentration, dry', unit: 'concentration' },
      formula: 'wet / (1 − water)',
      valid: 'water up to 95 vol%',
      source: 'US EPA Method 19 (40 CFR 60 App. A-7), eq. 19-4; 40 CFR 1065.659 has the inverse form',
      status: 'published',
      checks: ['EU-13'],
      example: { inputs: { wet: '120mg/m3', water: '15.5' }, value: 142.012 },
      formulaOf: ({ wet, water }) => dryBasis(wet, moistureShare(water)),
    }),
    calculation({
      name: 'wet-basis',
      purpose: 'a dry concentration, on the wet basis',
      inputs: { dry: concentration('concentration in the dried gas'), water },
      result: { name: 'concentration, wet', unit: 'concentration' },
      formula: 'dry × (1 − water)',
      valid: 'water up to 95 vol%',
      source: '40 CFR 1065.659',
      status: 'published',
      checks: [],
      example: { inputs: { dry: '100ppm', water: '18' }, value: 82, note: 'by hand: 100 × 0.82' },
      formulaOf: ({ dry, water }) => wetBasis(dry, moistureShare(water)),
    }),
    calculation({
      name: 'at-conditions',
      purpose: 'a mass concentration at one temperature and pressure, at another',
      inputs: {
        mass: one('mg/m3', 'mass concentration', massRange),
        temperature: one('K', 'temperature that it is stated at', [200, 1500]),
        pressure: one('kPa', 'absolute pressure that it is stated at', [50, 200]),
        toTemperature: one('K', 'temperature wanted', [200, 1500], 273.15),
        toPressure: one('kPa', 'absolute pressure wanted', [50, 200], 101.325),
      },
      result: { name: 'mass concentration at the conditions wanted', unit: 'mg/m3' },
      formula: 'mass × temperature / toTemperature × toPressure / pressure',
      valid: 'ideal gases; nothing condenses in between',
      source: 'ideal gas law; reference state of Directive 2010/75/EU',
      status: 'published',
      checks: ['EU-14'],
      example: { inputs: { mass: '85', temperature: '160degC', pressure: '98.7' }, value: 138.374 },
      formulaOf: ({ mass, temperature, pressure, toTemperature, toPressure }) =>
        atConditions(mass, at(temperature, pressure), at(toTemperature, toPressure)),
    }),
    calculation({
      name: 'pounds-per-cubic-foot',
      purpose: 'what one ppm of a gas weighs, in lb/scf at 68 °F and 29.92 inHg',
      inputs: { molarMass },
      result: { name: 'constant K', unit: 'lb/scf/ppm' },
      formula: 'molarMass / 385.326 / 10⁶',
      valid:
        'US standard conditions. For US results take the printed 1.194e-7 (NOx) and 1.660e-7 (SO2, 0.16 % lower than this)',
      source: 'US EPA Method 19 (40 CFR 60 App. A-7), Table 19-1; 40 CFR 60.4400, 60.64; 40 CFR 75 App. F sec. 2.1',
      status: 'published',
      checks: ['M19-7', 'M19-8'],
      example: { inputs: { molarMass: '46.01' }, value: 1.194e-7, note: 'as printed' },
      formulaOf: ({ molarMass }) => poundsPerScf(molarMass),
    }),
  ],
}

/** mg/m3 at normal conditions, for families that go on with it. */
export const normal: Conditions = at(quantity(273.15), quantity(101.325))
export const nitrogenOxidesAtNormal = (no: Quantity<'ppm'>, no2: Quantity<'ppm'>): MgPerM3 =>
  massConcentration(nitrogenOxides(no, no2), quantity<GramPerMol>(statedMolarMass('NOx', 'NO2')), normal)
