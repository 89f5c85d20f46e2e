import { describe, expect, test } from 'vitest'
import type { UncertaintyUse } from '../../protocols/words/verdicts.ts'
import { decide } from '../../server/engine/decision/verdict.ts'
import { bandOf } from '../../server/engine/uncertainty/decision-rule.ts'

// Sources: JCGM 106:2012, 8.2 (simple acceptance), 8.3.2 (guarded acceptance), 8.3.3 (guarded rejection), its examples
// from memory; the bands of ILAC-G8:09/2019; AV-14b: TA Luft 5.3.2.4 (the uncertainty is added), 17. BImSchV Annex III
// no. 3 (it is subtracted), US source tests (neither).
const rule = (uncertainty: UncertaintyUse, comparison: 'absolute' | 'rounded' = 'absolute') =>
  ({ uncertainty, comparison, ties: 'half-even' }) as const
const upTo = (value: number, decimals = 0) => ({ kind: 'high', value, digits: { decimals } }) as const
const atLeast = (value: number) => ({ kind: 'low', value, digits: { decimals: 0 } }) as const

describe('a result against an upper limit of 100 with U = 6', () => {
  // The four bands of ILAC-G8 with a guard band w = U: pass ≤ 94, conditional pass ≤ 100, conditional fail ≤ 106, fail.
  test.each([
    { result: 93, band: 'pass', verdict: 'below', subtract: true, add: true, ignore: true },
    { result: 94, band: 'pass', verdict: 'below', subtract: true, add: true, ignore: true },
    // U-6 of the reference calculations: 95 ± 6 against 100 is a conditional pass.
    { result: 95, band: 'conditional pass', verdict: 'undecided', subtract: true, add: false, ignore: true },
    { result: 100, band: 'conditional pass', verdict: 'undecided', subtract: true, add: false, ignore: true },
    { result: 101, band: 'conditional fail', verdict: 'undecided', subtract: true, add: false, ignore: false },
    { result: 106, band: 'conditional fail', verdict: 'undecided', subtract: true, add: false, ignore: false },
    { result: 106.01, band: 'fail', verdict: 'above', subtract: false, add: false, ignore: false },
  ] as const)('$result: $band', ({ result, band, verdict, subtract, add, ignore }) => {
    expect(bandOf(result, 6, 100)).toBe(band)
    expect(decide(result, 6, upTo(100), rule('subtract'))).toEqual({ verdict, complies: subtract })
    expect(decide(result, 6, upTo(100), rule('add'))).toEqual({ verdict, complies: add })
    expect(decide(result, 6, upTo(100), rule('ignore'))).toEqual({
      verdict: ignore ? 'below' : 'above',
      complies: ignore,
    })
  })
})

// By hand: 0.2 is 0.3 − 0.1 and 0.4 is 0.3 + 0.1, which binary arithmetic misses by a last digit; edges belong to the better band.
test('edges between bands are found in decimal arithmetic, as those of verdicts are', () => {
  expect([0.2, 0.3, 0.4].map((value) => bandOf(value, 0.1, 0.3))).toEqual([
    'pass',
    'conditional pass',
    'conditional fail',
  ])
})

// JCGM 106:2012, 8.3.3, example: a speed of which the relative standard uncertainty is 2 % is held to exceed 100 km/h with a
// probability of 99.9 % (z = 3.09) from 107 km/h on: 100 / (1 − 3.09 · 0.02) = 106.6. From memory.
test.each([
  { speed: 106, exceeds: false },
  { speed: 107, exceeds: true },
])('guarded rejection: $speed km/h proves the excess: $exceeds', ({ speed, exceeds }) => {
  const guard = 3.09 * 0.02 * speed
  expect(decide(speed, guard, upTo(100), rule('subtract')).complies).toBe(!exceeds)
})

test('the limit itself complies, in decimal arithmetic: 0.3 with U = 0.1 against 0.2 and 0.4', () => {
  // In binary 0.3 − 0.1 is less, and 0.3 + 0.1 no more, than what is printed.
  expect(decide(0.3, 0.1, upTo(0.2), rule('subtract')).complies).toBe(true)
  expect(decide(0.3, 0.1, upTo(0.4), rule('add')).complies).toBe(true)
  expect(decide(0.1 + 0.2, 0, upTo(0.3), rule('add')).complies).toBe(true)
  expect(decide(0.3000000001, 0, upTo(0.3), rule('add')).complies).toBe(false)
})

describe('a limit that must not be fallen short of is the mirror', () => {
  test.each([
    { result: 79, U: 0.5, verdict: 'below', subtract: false, add: false },
    { result: 79.6, U: 0.5, verdict: 'undecided', subtract: true, add: false },
    { result: 80, U: 0.5, verdict: 'undecided', subtract: true, add: false },
    { result: 80.5, U: 0.5, verdict: 'above', subtract: true, add: true },
  ] as const)('$result ± $U against at least 80', ({ result, U, verdict, subtract, add }) => {
    expect(decide(result, U, atLeast(80), rule('subtract'))).toEqual({ verdict, complies: subtract })
    expect(decide(result, U, atLeast(80), rule('add'))).toEqual({ verdict, complies: add })
  })
})

describe('where the uncertainty is not known', () => {
  test.each([
    { result: 99, use: 'subtract', complies: true }, // Whatever is subtracted, it stays below.
    { result: 101, use: 'subtract', complies: null },
    { result: 99, use: 'add', complies: null },
    { result: 101, use: 'add', complies: false }, // Whatever is added, it stays above.
  ] as const)('$result against 100, uncertainty to $use', ({ result, use, complies }) => {
    expect(decide(result, null, upTo(100), rule(use))).toEqual({ verdict: 'undecided', complies })
  })
  test('a rule without it decides', () => {
    expect(decide(99, null, upTo(100), rule('ignore'))).toEqual({ verdict: 'below', complies: true })
  })
})

// ASTM E29: 50.4 against a limit of 50 fails by the absolute method and passes by the rounding method (RD-4, from memory).
describe('absolute or rounded comparison', () => {
  test.each([
    { result: 50.4, limit: upTo(50), absolute: false, rounded: true },
    { result: 50.5, limit: upTo(50), absolute: false, rounded: true }, // half to even: 50
    { result: 50.51, limit: upTo(50), absolute: false, rounded: false },
    { result: 50.04, limit: upTo(50, 1), absolute: false, rounded: true }, // a permit that prints 50.0
    { result: 50.06, limit: upTo(50, 1), absolute: false, rounded: false },
  ])('$result against $limit.value with $limit.digits.decimals decimals', ({ result, limit, absolute, rounded }) => {
    expect(decide(result, null, limit, rule('ignore')).complies).toBe(absolute)
    expect(decide(result, null, limit, rule('ignore', 'rounded')).complies).toBe(rounded)
  })
})
