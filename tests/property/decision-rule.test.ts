import fc from 'fast-check'
import { expect, test } from 'vitest'
import { decide } from '../../server/engine/decision/verdict.ts'

const kind = fc.constantFrom('high' as const, 'low' as const)
const comparison = fc.constantFrom('absolute' as const, 'rounded' as const)
const value = fc.integer({ min: -100_000, max: 100_000 }).map((whole) => whole / 100)
const guard = fc.integer({ min: 0, max: 5_000 }).map((whole) => whole / 100)
const by = (uncertainty: 'ignore' | 'subtract' | 'add', how: 'absolute' | 'rounded') =>
  ({ uncertainty, comparison: how, ties: 'half-even' }) as const
const limitOf = (which: 'high' | 'low', limit: number) =>
  ({ kind: which, value: limit, digits: { decimals: 2 } }) as const

test('what complies where compliance must be proven complies without regard to uncertainty, and that where an excess must be', () => {
  fc.assert(
    fc.property(value, guard, value, kind, comparison, (result, U, limit, which, how) => {
      const complies = (use: 'ignore' | 'subtract' | 'add') =>
        decide(result, U, limitOf(which, limit), by(use, how)).complies
      if (complies('add')) expect(complies('ignore')).toBe(true)
      if (complies('ignore')) expect(complies('subtract')).toBe(true)
    }),
  )
})

test('a worse result never complies where a better one does not', () => {
  fc.assert(
    fc.property(value, guard, guard, value, kind, comparison, (result, worse, U, limit, which, how) => {
      const further = which === 'high' ? result + worse : result - worse
      for (const use of ['ignore', 'subtract', 'add'] as const)
        if (decide(further, U, limitOf(which, limit), by(use, how)).complies)
          expect(decide(result, U, limitOf(which, limit), by(use, how)).complies).toBe(true)
    }),
  )
})

test('a verdict is undecided only within the uncertainty, and what is decided stays so with a smaller one', () => {
  fc.assert(
    fc.property(value, guard, value, kind, (result, U, limit, which) => {
      const { verdict } = decide(result, U, limitOf(which, limit), by('subtract', 'absolute'))
      if (verdict === 'undecided') expect(Math.abs(result - limit)).toBeLessThanOrEqual(U + 1e-9)
      else expect(decide(result, U / 2, limitOf(which, limit), by('subtract', 'absolute')).verdict).toBe(verdict)
    }),
  )
})

test('an uncertainty of nothing is no uncertainty', () => {
  fc.assert(
    fc.property(value, value, kind, comparison, (result, limit, which, how) => {
      const { complies } = decide(result, null, limitOf(which, limit), by('ignore', how))
      expect(decide(result, 0, limitOf(which, limit), by('subtract', how)).complies).toBe(complies)
      expect(decide(result, 0, limitOf(which, limit), by('add', how)).complies).toBe(complies)
    }),
  )
})
