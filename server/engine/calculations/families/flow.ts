import { type Kilopascal, quantity } from '../../../../protocols/words/units.ts'
import { moistureShare } from '../../conversions/dry-basis.ts'
import { dryMolarMass, wetMolarMass } from '../../flow/molar-mass.ts'
import { gasVelocity, gasVelocityEnglish, meanRootPressure, pitotConstant, stackPressure } from '../../flow/velocity.ts'
import { circleArea, dryFlow, hourlyMass, hourlyMassOfWetFlow, massRate } from '../../flow/volume-flow.ts'
import { calculation, type Family, one, several, water } from '../calculation.ts'

const method2 = 'US EPA Method 2 (40 CFR 60 App. A-1), sec. 12'
const pitot = one(
  '1',
  'pitot coefficient: 0.84 for an S type that meets the geometry, 0.99 for a standard one',
  [0.5, 1.2],
  0.84,
)
const molarMass = one('g/mol', 'molar mass of the wet gas', [10, 60])
const slow = 'Below about 3 m/s a pitot tube reads poorly.'
const height = 'Traverses are done high up, at hot ducts: site safety rules and licensed practice come first.'
const share = (name: string) => one('vol%', name, [0, 100], 0)

export const flows: Family = {
  title: 'Velocity, flow and mass rate',
  calculations: [
    calculation({
      name: 'mean-root-pressure',
      purpose: 'mean of the square roots of the velocity pressures of a traverse',
      inputs: { pressures: several('mmH2O', 'velocity pressures', [0, 10_000], [1, 200]) },
      result: { name: 'mean root of the velocity pressure', unit: 'mmH2O^0.5' },
      formula: 'mean of √pressure; the root of the mean would read high',
      valid: 'no negative pressure among them; below 1.3 mmH2O a more sensitive gauge is needed',
      source: method2,
      status: 'published',
      checks: ['M2-5'],
      example: { inputs: { pressures: '0.36,0.49,0.64,0.81inH2O' }, value: 0.75, unit: 'inH2O^0.5' },
      formulaOf: ({ pressures }) => meanRootPressure(pressures),
    }),
    calculation({
      name: 'stack-pressure',
      purpose: 'absolute pressure in the stack from the barometer and the static gauge',
      inputs: {
        barometer: one('inHg', 'barometric pressure at the site, not reduced to sea level', [15, 35]),
        gauge: one('inH2O', 'static gauge pressure in the stack', [-200, 200]),
      },
      result: { name: 'absolute stack pressure', unit: 'inHg' },
      formula: 'barometer + gauge / 13.6',
      valid: 'gauge in inches of water, barometer in inches of mercury',
      source: method2,
      status: 'published',
      checks: ['M2-6'],
      example: { inputs: { barometer: '29.95', gauge: '-0.68' }, value: 29.9 },
      formulaOf: ({ barometer, gauge }) => stackPressure(barometer, gauge),
    }),
    calculation({
      name: 'stack-velocity',
      purpose: 'gas velocity from a pitot traverse, metric constant',
      inputs: {
        pitot,
        meanRoot: one('mmH2O^0.5', 'mean root of the velocity pressure', [0, 100]),
        temperature: one('K', 'mean stack temperature', [200, 2000]),
        pressure: one('mmHg', 'absolute stack pressure', [300, 1500]),
        molarMass,
      },
      result: { name: 'gas velocity', unit: 'm/s' },
      formula: '34.97 × pitot × meanRoot × √(temperature / (pressure × molarMass))',
      valid: 'mmH2O, K and mmHg; the constants 34.97 and 85.49 are rounded apart by 0.03 %: never mix them',
      source: `${method2}, eq. 2-7; 34.97 and 0.84 read in a metric formula sheet`,
      status: 'published',
      checks: ['M2-2'],
      example: { inputs: { meanRoot: '3.53', temperature: '450', pressure: '757', molarMass: '28.6' }, value: 14.9494 },
      caution: `${slow} ${height}`,
      formulaOf: ({ pitot, meanRoot, temperature, pressure, molarMass }) =>
        gasVelocity(pitot, meanRoot, temperature, pressure, molarMass),
    }),
    calculation({
      name: 'stack-velocity-english',
      purpose: 'gas velocity from a pitot traverse, English constant',
      inputs: {
        pitot,
        meanRoot: one('inH2O^0.5', 'mean root of the velocity pressure', [0, 20]),
        temperature: one('degR', 'mean stack temperature', [400, 3600]),
        pressure: one('inHg', 'absolute stack pressure', [12, 60]),
        molarMass,
      },
      result: { name: 'gas velocity', unit: 'ft/s' },
      formula: '85.49 × pitot × meanRoot × √(temperature / (pressure × molarMass))',
      valid: 'inH2O, degR (degF + 459.67) and inHg',
      source: `${method2}, eq. 2-7; 85.49 read in a published audit form`,
      status: 'published',
      checks: ['M2-1'],
      example: { inputs: { meanRoot: '0.7', temperature: '810', pressure: '29.8', molarMass: '28.6' }, value: 49.0054 },
      caution: `${slow} ${height}`,
      formulaOf: ({ pitot, meanRoot, temperature, pressure, molarMass }) =>
        gasVelocityEnglish(pitot, meanRoot, temperature, pressure, molarMass),
    }),
    calculation({
      name: 'pitot-constant',
      purpose: 'the metric constant of the pitot equation from first principles',
      inputs: { gasConstant: one('J/(mol K)', 'molar gas constant', [8, 9], 8.31446261815324) },
      result: { name: 'constant K_p, m/s · √((g/mol) mmHg / (K mmH2O))', unit: '1' },
      formula: '√(2 × 9.80665 × gasConstant × 1000 / 133.322)',
      valid: 'the method prints 34.97',
      source: `${method2}; ideal gas and Bernoulli’s equation`,
      status: 'published',
      checks: ['M2-3'],
      example: { inputs: {}, value: 34.97, note: 'as printed' },
      formulaOf: ({ gasConstant }) => pitotConstant(gasConstant),
    }),
    calculation({
      name: 'dry-molar-mass',
      purpose: 'molar mass of dry flue gas from its analysis',
      inputs: {
        carbonDioxide: share('carbon dioxide, dry'),
        oxygen: share('oxygen, dry'),
        carbonMonoxide: share('carbon monoxide, dry'),
      },
      result: { name: 'molar mass, dry', unit: 'g/mol' },
      formula: '0.440 × carbonDioxide + 0.320 × oxygen + 0.280 × (nitrogen + carbonMonoxide), nitrogen the rest',
      valid: 'parts that add up to at most 100 vol%; 30.0 may be allowed for gas, coal and oil',
      source: 'US EPA Method 3 (40 CFR 60 App. A-2), eq. 3-1; same coefficients in a published data form',
      status: 'published',
      checks: ['M3-1'],
      example: { inputs: { carbonDioxide: '10.1', oxygen: '3' }, value: 29.736 },
      formulaOf: ({ carbonDioxide, oxygen, carbonMonoxide }) => dryMolarMass(carbonDioxide, oxygen, carbonMonoxide),
    }),
    calculation({
      name: 'wet-molar-mass',
      purpose: 'molar mass of wet flue gas',
      inputs: { dryMolarMass: one('g/mol', 'molar mass of the dry gas', [10, 60]), water },
      result: { name: 'molar mass, wet', unit: 'g/mol' },
      formula: 'dryMolarMass × (1 − water) + 18.0 × water',
      valid: 'water as its share of the wet gas',
      source: `${method2}, eq. 2-6`,
      status: 'published',
      checks: ['M3-2'],
      example: { inputs: { dryMolarMass: '29.736', water: '18' }, value: 27.6235 },
      formulaOf: ({ dryMolarMass, water }) => wetMolarMass(dryMolarMass, moistureShare(water)),
    }),
    calculation({
      name: 'dry-flow',
      purpose: 'dry flow of a round stack at standard conditions',
      inputs: {
        velocity: one('m/s', 'mean gas velocity', [0, 200]),
        diameter: one('m', 'inner diameter', [0.05, 30]),
        water,
        temperature: one('K', 'mean stack temperature', [200, 2000]),
        pressure: one('kPa', 'absolute stack pressure', [40, 200]),
        standardTemperature: one(
          'K',
          'standard temperature: 293.15 K in the US, 273.15 K in the EU',
          [250, 320],
          273.15,
        ),
        standardPressure: one('kPa', 'standard pressure', [90, 110], 101.325),
      },
      result: { name: 'dry flow at standard conditions', unit: 'm3/h' },
      formula:
        '3600 × (1 − water) × velocity × π/4 × diameter² × standardTemperature / temperature × pressure / standardPressure',
      valid: 'round stacks; for others take the area’s equivalent: √(4 area / π)',
      source: `${method2}, eq. 2-8`,
      status: 'published',
      checks: ['M2-4'],
      example: {
        inputs: {
          velocity: '49.0054ft/s',
          diameter: '4ft',
          water: '12',
          temperature: '810degR',
          pressure: '29.8inHg',
          standardTemperature: '528degR',
          standardPressure: '29.92inHg',
        },
        value: 21_110.1,
        unit: 'ft3/min',
      },
      caution: height,
      formulaOf: (given) =>
        dryFlow(
          given.velocity,
          circleArea(given.diameter),
          moistureShare(given.water),
          { kelvin: given.temperature, kilopascal: given.pressure },
          { kelvin: given.standardTemperature, kilopascal: quantity<Kilopascal>(given.standardPressure) },
        ),
    }),
    calculation({
      name: 'mass-rate',
      purpose: 'mass that a stack emits in an hour',
      inputs: {
        concentration: one('mg/m3', 'mass concentration', [-1e6, 1e7]),
        flow: one('m3/h', 'flow on the same basis, conditions and oxygen', [0, 1e9]),
      },
      result: { name: 'mass rate', unit: 'kg/h' },
      formula: 'concentration × flow / 10⁶',
      valid:
        'both dry or both wet, at the same conditions and the same oxygen: a concentration at the reference oxygen needs a flow at it',
      source: 'mass balance',
      status: 'common practice',
      checks: ['EU-16'],
      example: { inputs: { concentration: '180', flow: '12500' }, value: 2.25 },
      formulaOf: ({ concentration, flow }) => massRate(concentration, flow),
    }),
    calculation({
      name: 'hourly-mass',
      purpose: 'mass in an hour from ppm and flow on the same basis, US constants',
      inputs: {
        constant: one('lb/scf/ppm', 'K: 1.660e-7 for SO2, 1.194e-7 for NOx', [1e-9, 1e-5]),
        concentration: one('ppm', 'concentration on the flow’s basis', [-1e5, 1e6]),
        flow: one('ft3/h', 'flow at standard conditions', [0, 1e11]),
      },
      result: { name: 'hourly mass', unit: 'lb/h' },
      formula: 'constant × concentration × flow',
      valid: 'both wet or both dry; reported to 0.1 lb/h',
      source: '40 CFR 75 App. F, eq. F-1',
      status: 'published',
      checks: ['P75-1'],
      example: { inputs: { constant: '1.66e-7', concentration: '210', flow: '9200000' }, value: 320.712 },
      formulaOf: ({ constant, concentration, flow }) => hourlyMass(constant, concentration, flow),
    }),
    calculation({
      name: 'hourly-mass-of-wet-flow',
      purpose: 'mass in an hour from dry ppm and wet flow, US constants',
      inputs: {
        constant: one('lb/scf/ppm', 'K: 1.660e-7 for SO2, 1.194e-7 for NOx', [1e-9, 1e-5]),
        concentration: one('ppm', 'concentration, dry', [-1e5, 1e6]),
        flow: one('ft3/h', 'wet flow at standard conditions', [0, 1e11]),
        water,
      },
      result: { name: 'hourly mass', unit: 'lb/h' },
      formula: 'constant × concentration × flow × (1 − water)',
      valid: 'dry concentration with wet flow',
      source: '40 CFR 75 App. F, eq. F-2',
      status: 'published',
      checks: ['P75-2'],
      example: {
        inputs: { constant: '1.66e-7', concentration: '240', flow: '9200000', water: '12.5' },
        value: 320.712,
        note: 'the same gas as hourly-mass, so the same mass',
      },
      formulaOf: ({ constant, concentration, flow, water }) =>
        hourlyMassOfWetFlow(constant, concentration, flow, moistureShare(water)),
    }),
  ],
}
