import { describe, expect, test } from 'vitest'
import { type Calculation, calculation, one } from '../../../../server/engine/calculations/calculation.ts'
import { calculationNamed, calculationNames, catalogue } from '../../../../server/engine/calculations/catalogue.ts'
import { describedCatalogue } from '../../../../server/engine/calculations/described.ts'
import { evaluate } from '../../../../server/engine/calculations/evaluate.ts'
import { betweenConcentrations, inUnit, unitsBeside } from '../../../../server/engine/calculations/measures.ts'

const named = (name: string): Calculation => {
  const found = calculationNamed(name)
  if (!found) throw new Error(`no calculation ${name}`)
  return found
}
const value = (name: string, inputs: Record<string, string>, unit?: string): unknown => {
  const found = evaluate(named(name), inputs, unit ?? null)
  return found.ok ? found.value : found.faults
}
const faults = (name: string, inputs: Record<string, string>, unit?: string): readonly string[] => {
  const found = evaluate(named(name), inputs, unit ?? null)
  return found.ok ? [] : found.faults
}
const oxygen = { concentration: '150mg/m3', oxygen: '5.2', reference: '3' }

describe('what is typed', () => {
  test.each([['5.2'], ['5.2vol%'], ['5.2 vol%'], ['5.2 %'], ['52000ppm'], [' +5.2e0 vol% '], ['0.052 mol/mol']])(
    '"%s" is 5.2 vol%% of oxygen',
    (text) => {
      expect(value('reference-oxygen', { ...oxygen, oxygen: text })).toBeCloseTo(170.886, 3)
    },
  )

  test('units are taken as people paste them', () => {
    expect(value('at-conditions', { mass: '85mg/m³', temperature: '160°C', pressure: '987hPa' })).toBeCloseTo(
      138.374,
      3,
    )
    expect(value('dry-basis', { wet: '120000µg/m³', water: '15.5' })).toBeCloseTo(142_012, 0)
  })

  test('a list takes the unit that ends it, and each number its own', () => {
    expect(value('mean-root-pressure', { pressures: '0.36,0.49,0.64,0.81inH2O' }, 'inH2O^0.5')).toBeCloseTo(0.75, 12)
    expect(value('mean-root-pressure', { pressures: '1mmH2O,9.80665Pa' })).toBeCloseTo(1, 12)
  })

  test('a result comes in the unit of the first concentration that has one, and in another on request', () => {
    expect(value('reference-oxygen', oxygen)).toBeCloseTo(170.886, 3)
    expect(value('reference-oxygen', oxygen, 'g/m3')).toBeCloseTo(0.170886, 6)
    expect(value('reference-oxygen', { ...oxygen, concentration: '150' }, 'ppb')).toBeCloseTo(170_886, 0)
    expect(evaluate(named('reference-oxygen'), oxygen)).toMatchObject({ unit: 'mg/m3' })
  })
})

describe('what is refused, with what is allowed', () => {
  test('every fault at once', () => {
    expect(faults('reference-oxygen', { concentration: '150bar', oxigen: '5', reference: '40', air: 'pure' })).toEqual([
      '"oxigen" is no input of reference-oxygen; did you mean "oxygen"? inputs: concentration, oxygen, reference, air',
      'concentration: "bar" does not fit; use ppm, vol%, ppb, mg/m3, ug/m3 or g/m3',
      'oxygen is missing: measured oxygen, dry; -1…25 vol%, also in %, ppm, ppb, mol/mol, mmol/mol, umol/mol',
      'reference: 40 vol% is outside 0…20 vol%',
      'air: "pure" is no number; write for example air=20vol%',
    ])
  })

  test.each([
    [
      'a decimal comma, which parts a list',
      'reference-oxygen',
      { ...oxygen, oxygen: '5,2' },
      /"5,2" is one number with a comma; write a decimal point/,
    ],
    ['a word that is no fuel', 'f-factor', { fuel: 'natural-gas' }, /did you mean "natural gas"\? use anthracite/],
    ['too short a list', 'stratification', { points: '100,90' }, /2 given; takes 3 to 12/],
    [
      'a share beside a mass',
      'calibration-error',
      { direct: '50ppm', certified: '50mg/m3', span: '100' },
      /cannot stand beside ppm/,
    ],
    ['an infinite number', 'efficiency', { loss: '1e999' }, /is no number/],
    [
      'a value beyond its range in another unit',
      'dry-basis',
      { wet: '1', water: '0.96 mol/mol' },
      /0.96 mol\/mol is outside 0…95 vol%/,
    ],
  ] as const)('%s', (_, name, inputs, told) => {
    expect(faults(name, inputs)).toEqual([expect.stringMatching(told)])
  })

  test('a unit that the result cannot be in', () => {
    expect(faults('mass-rate', { concentration: '1', flow: '1' }, 'mg/m3')).toEqual([
      'the result cannot be in "mg/m3"; use kg/h, g/h, g/s, kg/s, lb/h',
    ])
    // A mass at the reference oxygen is a mass: what is allowed must not name the unit that was just refused.
    expect(faults('reference-oxygen', oxygen, 'ppm')).toEqual(['the result cannot be in "ppm"; use mg/m3, ug/m3, g/m3'])
    expect(faults('decision-band', { value: '1', expanded: '1', limit: '1' }, 'ppm')).toEqual([
      expect.stringMatching(/use no unit/),
    ])
  })

  test('inputs in their ranges that have no value together say where the formula holds', () => {
    expect(faults('dry-molar-mass', { carbonDioxide: '60', oxygen: '60' })).toEqual([
      expect.stringMatching(/^dry-molar-mass has no value for these inputs; it holds for: parts that add up/),
    ])
    expect(faults('reference-oxygen', { ...oxygen, oxygen: '21' })).toHaveLength(1)
    expect(faults('wet-f-factor', { fuel: 'wood' })).toHaveLength(1)
    expect(faults('cross-sensitivity', { sensitivities: '1,1;1,1', readings: '1,1' })).toHaveLength(1)
  })
})

describe('units', () => {
  // By definition or NIST SP 811, to the last digit written; inHg, mmHg and inH2O conventional.
  test.each([
    [32, 'degF', 'degC', '0.000'],
    [212, 'degF', 'K', '373.150'],
    [528, 'degR', 'degC', '20.183'],
    [29.92, 'inHg', 'kPa', '101.321'],
    [760, 'mmHg', 'kPa', '101.3250'],
    [1, 'inH2O', 'Pa', '249.089'],
    [1, 'atm', 'kPa', '101.325'],
    [1, 'psi', 'kPa', '6.894757'],
    [1, 'bar', 'hPa', '1000.0'],
    [1, 'kcal/kg', 'kJ/kg', '4.1868'],
    [1, 'ft3/min', 'm3/h', '1.69901'],
    [1, 'lb/MWh', 'g/kWh', '0.453592'],
    [1.194e-7, 'lb/scf/ppm', 'ng/m3/ppm', '1912604.5'],
    [8710, 'dscf/MMBtu', 'dscm/GJ', '233.769'],
    [1, 'mmH2O', 'Pa', '9.80665'],
    [1, 'lb', 'kg', '0.45359237'],
    [1, 'ft3', 'm3', '0.0283168'],
    [1, 'lb/MMBtu', 'ng/J', '429.923'],
    [23_879, 'Btu/lb', 'kJ/kg', '55542.554'],
    [1, 'hp h', 'kWh', '0.745700'],
    [1, 'MW', 'kW', '1000.0'],
    [1, 'MW', 'MMBtu/h', '3.41214'],
    [1, 'lb/ft3', 'g/m3', '16018.46'],
    [1, 'inH2O^0.5', 'mmH2O^0.5', '5.03984'],
  ])('%f %s is %s %s', (from, unit, to, expected) => {
    expect(inUnit(from, unit, to).toFixed(expected.split('.')[1]?.length ?? 0)).toBe(expected)
  })

  test('between kinds there is no way', () => {
    expect(inUnit(1, 'ppm', 'kg')).toBeNaN()
    expect(inUnit(1, 'toString', 'kg')).toBeNaN()
    expect(betweenConcentrations(1, 'ppm', 'mg/m3')).toBeNaN()
    expect(unitsBeside('constructor')).toEqual(['constructor'])
  })
})

describe('the catalogue', () => {
  test('has each name once, in lower case with hyphens', () => {
    expect(new Set(calculationNames).size).toBe(catalogue.flatMap(({ calculations }) => calculations).length)
    expect(calculationNames.filter((name) => !/^[a-z0-9]+(?:-[a-z0-9]+)*$/.test(name))).toEqual([])
  })

  test('calls nothing published whose source was not read', () => {
    for (const { source, status, name } of describedCatalogue())
      expect([name, status === 'published' && /^(?!.*(?:read|printed|match)).*\(recalled\)$/.test(source)]).toEqual([
        name,
        false,
      ])
  })

  test('a formula that fails gives a fault, never an infinity', () => {
    const broken = calculation({
      name: 'broken',
      purpose: '',
      inputs: { x: one('1', '', [0, 1]) },
      result: { name: '', unit: '1' },
      formula: '',
      valid: 'nothing',
      source: '',
      status: 'common practice',
      checks: [],
      example: { inputs: {}, value: 0 },
      formulaOf: ({ x }) => 1 / x,
    })
    expect(evaluate(broken, { x: '0' })).toEqual({
      ok: false,
      faults: ['broken has no value for these inputs; it holds for: nothing'],
    })
  })
})

// By hand from what the formula says: a second party with a calculator gets the digits that --json tells.
describe('the constants that a formula states', () => {
  const constants = (name: string): number[] =>
    named(name)
      .formula.match(/\d+(?:\.\d+)?(?:e\d+)?/g)
      ?.map(Number) ?? []
  test('give the very value of nitrogen oxides at a reference oxygen', () => {
    const [, molarMass = 0, kPa = 0, kelvin = 0, gasConstant = 0] = constants('nitrogen-oxides-at-reference-oxygen')
    expect(
      value('nitrogen-oxides-at-reference-oxygen', { no: '120', no2: '6', oxygen: '6.2', reference: '3' }),
    ).toBeCloseTo((((126 * molarMass * kPa) / (gasConstant * kelvin)) * 18) / 14.8, 9)
  })
  test('give the very value of a metric F factor and rate', () => {
    const [cubicMetres = 0, joules = 0] = constants('f-factor-metric').slice(-2)
    expect(Number(value('f-factor-metric', { dryFactor: '9190' })) / ((9190 * cubicMetres) / joules)).toBeCloseTo(1, 12)
    const [grams = 0, gigajoules = 0] = constants('emission-rate-metric')
    expect(value('emission-rate-metric', { rate: '0.1' })).toBeCloseTo((0.1 * grams) / gigajoules, 9)
  })
})
