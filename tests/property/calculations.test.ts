import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Calculation, Input } from '../../server/engine/calculations/calculation.ts'
import { calculationNamed, catalogue } from '../../server/engine/calculations/catalogue.ts'
import { evaluate } from '../../server/engine/calculations/evaluate.ts'
import { inUnit, unitsBeside } from '../../server/engine/calculations/measures.ts'

const all = catalogue.flatMap(({ calculations }) => calculations)

const between = (low: number, high: number) =>
  fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: low, max: high, noNaN: true }) },
    { weight: 1, arbitrary: fc.constantFrom(low, high) },
  )
/** Any text that an input takes: numbers of its own unit within its range, words of its list. */
function textOf(input: Input): fc.Arbitrary<string> {
  switch (input.kind) {
    case 'number':
      return between(input.low, input.high).map(String)
    case 'list':
      return fc
        .array(between(input.low, input.high), { minLength: input.fewest, maxLength: Math.min(input.most, 6) })
        .map((values) => values.join(','))
    case 'rows':
      return fc
        .array(fc.array(between(input.low, input.high), { minLength: 2, maxLength: 2 }), { minLength: 2, maxLength: 2 })
        .map((rows) => rows.map((row) => row.join(',')).join(';'))
    case 'choice':
      return fc.constantFrom(...input.options)
    case 'choices':
      return fc
        .array(fc.constantFrom(...input.options), { minLength: input.fewest, maxLength: 6 })
        .map((words) => words.join(','))
  }
}
const inputsOf = (calculation: Calculation): fc.Arbitrary<Record<string, string>> =>
  fc.record(Object.fromEntries(Object.entries(calculation.inputs).map(([name, input]) => [name, textOf(input)])))

const isSound = (value: unknown): boolean =>
  Array.isArray(value) ? value.length > 0 && value.every(isSound) : typeof value === 'string' || Number.isFinite(value)

test.each(all.map((calculation) => [calculation.name, calculation] as const))(
  '%s: whatever lies in range gives a finite value, or says where it holds',
  (_, calculation) => {
    fc.assert(
      fc.property(inputsOf(calculation), (inputs) => {
        const evaluation = evaluate(calculation, inputs)
        if (evaluation.ok) expect(isSound(evaluation.value), JSON.stringify(evaluation)).toBe(true)
        else
          expect(evaluation.faults).toEqual([expect.stringMatching(/has no value for these inputs; it holds for: ./)])
      }),
      { numRuns: 60 },
    )
  },
)

test('whatever is typed, an evaluation answers and never throws', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...all),
      fc.dictionary(fc.oneof(fc.string(), fc.constantFrom('oxygen', 'gas', '__proto__', 'constructor')), fc.string()),
      fc.option(fc.string()),
      (calculation, inputs, unit) => {
        const evaluation = evaluate(calculation, inputs, unit)
        if (!evaluation.ok) expect(evaluation.faults.length).toBeGreaterThan(0)
      },
    ),
  )
})

const declared = [
  ...new Set(
    all.flatMap(({ inputs }) => Object.values(inputs).flatMap((input) => ('unit' in input ? [input.unit] : []))),
  ),
].filter((unit) => unit !== 'concentration')

test.each(declared)('%s into each unit beside it and back is the same value', (unit) => {
  fc.assert(
    fc.property(
      fc.constantFrom(...unitsBeside(unit)),
      fc.double({ min: 0.1, max: 1000, noNaN: true }),
      (other, value) => {
        const back = inUnit(inUnit(value, unit, other), other, unit)
        // Temperatures lose digits by their offset: 459.67 against values down to 0.1.
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * (Math.abs(value) + 500))
      },
    ),
  )
})

/** The number that a calculation gives; NaN where it gives none. */
const number = (name: string, inputs: Readonly<Record<string, number | string>>): number => {
  const calculation = calculationNamed(name)
  const texts = Object.fromEntries(Object.entries(inputs).map(([key, value]) => [key, String(value)]))
  const evaluation = calculation && evaluate(calculation, texts)
  return evaluation?.ok && typeof evaluation.value === 'number' ? evaluation.value : Number.NaN
}
const below = (low: number, high: number) =>
  fc
    .tuple(fc.double({ min: low, max: high, noNaN: true }), fc.double({ min: low, max: high, noNaN: true }))
    .filter(([one, other]) => Math.abs(one - other) > 1e-6)
    .map(([one, other]): [number, number] => (one < other ? [one, other] : [other, one]))

describe('what must rise, rises', () => {
  test.each([
    ['reference-oxygen', 'oxygen', 0, 20, { concentration: 100, reference: 3 }],
    ['dry-basis', 'water', 0, 95, { wet: 100 }],
    ['emission-rate-19-1', 'oxygen', 0, 20, { pollutant: 100, constant: 1.194e-7, dryFactor: 8710 }],
    ['air-ratio', 'oxygen', 0, 20, {}],
    ['excess-air-by-oxygen', 'oxygen', 0, 20, {}],
    ['stack-loss', 'oxygen', 0, 20, { gas: 180, air: 20, fuel: 'natural gas' }],
    ['stack-loss', 'gas', 20, 1000, { oxygen: 3, air: 20, fuel: 'light oil' }],
    ['saturation-pressure', 'temperature', 273.15, 647, {}],
    ['saturation-temperature', 'pressure', 0.62, 22_000, {}],
    ['water-dew-point', 'water', 0.7, 100, {}],
    ['acid-dew-point', 'trioxide', 1e-5, 1, { water: 80 }],
    ['wet-bulb', 'humidity', 20, 100, { temperature: 30 }],
    ['referred-uncertainty', 'ofOxygen', 0, 5, { concentration: 100, ofConcentration: 1, oxygen: 5, reference: 3 }],
    ['conformance-probability', 'limit', 60, 140, { value: 100, standard: 20 }],
  ] as const)('%s with %s', (name, input, low, high, rest) => {
    fc.assert(
      fc.property(below(low, high), ([less, more]) => {
        expect(number(name, { ...rest, [input]: more })).toBeGreaterThan(number(name, { ...rest, [input]: less }))
      }),
    )
  })

  test.each([
    ['carbon-dioxide-by-oxygen', 'oxygen', 0, 21, { maximum: 11.8 }],
    ['fuel-factor', 'oxygen', 0, 20, { carbonDioxide: 10 }],
    ['wet-basis', 'water', 0, 95, { dry: 100 }],
    ['dry-flow', 'water', 0, 95, { velocity: 10, diameter: 1, temperature: 400, pressure: 100 }],
  ] as const)('and falls where it must: %s with %s', (name, input, low, high, rest) => {
    fc.assert(
      fc.property(below(low, high), ([less, more]) => {
        expect(number(name, { ...rest, [input]: more })).toBeLessThan(number(name, { ...rest, [input]: less }))
      }),
    )
  })
})

const open = fc.double({ min: 0.01, max: 1e5, noNaN: true })
const nearly = (found: number, wanted: number) => expect(Math.abs(found / wanted - 1)).toBeLessThan(1e-9)

test('dry to wet to dry returns', () => {
  fc.assert(
    fc.property(open, fc.double({ min: 0, max: 94, noNaN: true }), (dry, water) => {
      nearly(number('dry-basis', { wet: number('wet-basis', { dry, water }), water }), dry)
    }),
  )
})

test('saturation pressure and saturation temperature undo each other', () => {
  fc.assert(
    fc.property(fc.double({ min: 274, max: 647, noNaN: true }), (temperature) => {
      nearly(
        number('saturation-temperature', { pressure: number('saturation-pressure', { temperature }) }),
        temperature,
      )
    }),
  )
})

test('all ways of wet and dry of Method 19 give the same emission rate for the same gas', () => {
  fc.assert(
    fc.property(
      open,
      fc.double({ min: 0, max: 15, noNaN: true }),
      fc.double({ min: 0, max: 40, noNaN: true }),
      (ppm, oxygen, water) => {
        const left = 1 - water / 100
        const k = { constant: 1.194e-7, dryFactor: 8710 }
        const want = number('emission-rate-19-1', { ...k, pollutant: ppm, oxygen })
        nearly(number('emission-rate-19-3', { ...k, pollutant: ppm * left, oxygen: oxygen * left, water }), want)
        nearly(number('emission-rate-19-4', { ...k, pollutant: ppm * left, oxygen, water }), want)
        nearly(number('emission-rate-19-5', { ...k, pollutant: ppm, oxygen: oxygen * left, water }), want)
        const carbonDioxide = number('carbon-dioxide-by-f-factors', { oxygen, carbonFactor: 1040, dryFactor: 8710 })
        const c = { constant: 1.194e-7, carbonFactor: 1040 }
        nearly(number('emission-rate-19-6', { ...c, pollutant: ppm, carbonDioxide }), want)
        nearly(number('emission-rate-19-7', { ...c, pollutant: ppm * left, carbonDioxide: carbonDioxide * left }), want)
        nearly(number('emission-rate-19-8', { ...c, pollutant: ppm * left, carbonDioxide, water }), want)
        nearly(number('emission-rate-19-9', { ...c, pollutant: ppm, carbonDioxide: carbonDioxide * left, water }), want)
      },
    ),
  )
})

test('a bias correction gives the gases of its checks back', () => {
  fc.assert(
    fc.property(
      fc.double({ min: -5, max: 5, noNaN: true }),
      fc.double({ min: 50, max: 150, noNaN: true }),
      (zero, upscale) => {
        const checks = { zeros: zero, upscales: upscale, upscaleGas: 90 }
        expect(number('bias-corrected-mean', { ...checks, mean: zero })).toBeCloseTo(0, 9)
        nearly(number('bias-corrected-mean', { ...checks, mean: upscale }), 90)
      },
    ),
  )
})

test('cross-sensitivity undoes the mixing of two cells', () => {
  const part = fc.double({ min: -0.3, max: 0.3, noNaN: true })
  fc.assert(
    fc.property(part, part, open, open, (a, b, x, y) => {
      const calculation = calculationNamed('cross-sensitivity') as Calculation
      const readings = `${x + a * y},${b * x + y}`
      const evaluation = evaluate(calculation, { sensitivities: `1,${a};${b},1`, readings })
      const [first = Number.NaN, second = Number.NaN] = evaluation.ok ? (evaluation.value as number[]) : []
      const size = Math.max(x, y)
      expect(Math.max(Math.abs(first - x), Math.abs(second - y))).toBeLessThanOrEqual(1e-9 * size)
    }),
  )
})

// Two ways that share no coefficient: the regulation's A and B (1. BImSchV, Annex 2) against stoichiometry and heat
// capacities. A and B are printed to two and three decimals, which alone is 1 to 2 % of a loss. For liquefied gas the
// printed pair lies 4 to 5 % below the balance of propane and of butane, which the documents say; no other source was at hand.
test.each([
  ['natural gas as methane', 'natural gas', 0.02, { carbon: 74.87, hydrogen: 25.13, netHeatingValue: 50.01 }],
  ['light oil', 'light oil', 0.01, { carbon: 86.3, hydrogen: 13.4, sulphur: 0.1, netHeatingValue: 42.8 }],
  ['liquefied gas as propane', 'liquefied gas', 0.05, { carbon: 81.71, hydrogen: 18.29, netHeatingValue: 46.35 }],
  ['liquefied gas as butane', 'liquefied gas', 0.05, { carbon: 82.66, hydrogen: 17.34, netHeatingValue: 45.75 }],
] as const)('the heat balance agrees with the Siegert loss of %s', (_, fuel, share, analysis) => {
  fc.assert(
    fc.property(
      fc.double({ min: 90, max: 260, noNaN: true }),
      fc.double({ min: 1, max: 9, noNaN: true }),
      (gas, oxygen) => {
        const siegert = number('stack-loss', { gas, air: 20, oxygen, fuel })
        const balance = number('stack-loss-by-heat-balance', { gas, air: 20, oxygen, ...analysis })
        expect(Math.abs(balance / siegert - 1)).toBeLessThanOrEqual(share)
      },
    ),
  )
})
