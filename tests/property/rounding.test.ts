import fc from 'fast-check'
import { expect, test } from 'vitest'
import { roundedText } from '../../server/engine/decision/rounding.ts'
import { decimalsFor, roundedTo } from '../../web/format/rounding.ts'

const number = fc.oneof(
  fc.double({ noNaN: true, noDefaultInfinity: true, min: -1e9, max: 1e9 }),
  // Ties to three decimals and fewer.
  fc.integer({ min: -10_000_000, max: 10_000_000 }).map((whole) => whole / 10_000),
  fc.integer({ min: -1_000_000, max: 1_000_000 }).map((whole) => whole / 2),
)
const ties = fc.constantFrom('half-even' as const, 'half-away' as const)

test('screens and reports round alike, though each has its own arithmetic', () => {
  fc.assert(
    fc.property(number, fc.integer({ min: 0, max: 6 }), ties, (value, decimals, rule) => {
      expect(roundedTo(value, decimals, rule)).toBeCloseTo(Number(roundedText(value, { decimals }, rule)), 12)
      expect(`${Number(roundedText(value, { decimals }, rule))}`).toBe(`${roundedTo(value, decimals, rule) + 0}`)
    }),
  )
  fc.assert(
    fc.property(number, fc.integer({ min: 1, max: 6 }), ties, (value, significantFigures, rule) => {
      const decimals = decimalsFor(value, significantFigures, rule)
      const text = roundedText(value, { significantFigures }, rule)
      expect(text.split('.')[1]?.length ?? 0).toBe(decimals)
    }),
  )
})

test('rounding again changes nothing, and a greater number is never rounded below a smaller one', () => {
  fc.assert(
    fc.property(number, number, fc.integer({ min: 0, max: 6 }), ties, (one, other, decimals, rule) => {
      const digits = { decimals }
      expect(roundedText(roundedText(one, digits, rule), digits, rule)).toBe(roundedText(one, digits, rule))
      const [low, high] = one < other ? [one, other] : [other, one]
      expect(Number(roundedText(low, digits, rule))).toBeLessThanOrEqual(Number(roundedText(high, digits, rule)))
    }),
  )
})

test('a rounded number is at most half of its last digit away', () => {
  fc.assert(
    fc.property(number, fc.integer({ min: 0, max: 6 }), ties, (value, decimals, rule) => {
      const moved = Math.abs(Number(roundedText(value, { decimals }, rule)) - value)
      expect(moved).toBeLessThanOrEqual(0.5 * 10 ** -decimals * (1 + 1e-9) + Math.abs(value) * 1e-15)
    }),
  )
})
