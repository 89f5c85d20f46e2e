import fc from 'fast-check'
import { expect, test } from 'vitest'
import { robustMean } from '../../server/engine/corrections/robust-mean.ts'

const middle = (values: readonly number[]): number => {
  const sorted = values.toSorted((a, b) => a - b)
  const at = Math.floor(sorted.length / 2)
  return sorted.length % 2 ? (sorted[at] as number) : ((sorted[at - 1] as number) + (sorted[at] as number)) / 2
}
const meanOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length
const deviationOf = (values: readonly number[]): number => {
  const mean = meanOf(values)
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1))
}

/** Algorithm A as it is written down, each round anew over all values. Source: ISO 13528:2015, Annex C.3 (from memory). */
function asWritten(values: readonly number[]): { readonly mean: number; readonly spread: number } {
  let mean = middle(values)
  let spread = 1.483 * middle(values.map((value) => Math.abs(value - mean)))
  if (spread === 0) spread = deviationOf(values)
  for (let round = 0; round < 20_000 && spread > 0; round++) {
    const moved = values.map((value) => Math.min(mean + 1.5 * spread, Math.max(mean - 1.5 * spread, value)))
    mean = meanOf(moved)
    spread = 1.134 * deviationOf(moved)
  }
  return { mean, spread }
}

test('the robust mean is what Algorithm A gives, whichever way its sums are formed', () => {
  // Readings of a cell in tenths, some washed out: many are equal, some lie far off on one side.
  const value = fc.oneof(
    { weight: 6, arbitrary: fc.integer({ min: -20, max: 20 }).map((tenths) => tenths / 10) },
    { weight: 1, arbitrary: fc.integer({ min: 50, max: 900 }) },
  )
  fc.assert(
    fc.property(fc.array(value, { minLength: 2, maxLength: 60 }), (values) => {
      const found = robustMean(Float64Array.from(values))
      const expected = asWritten(values)
      const tolerance = 1e-10 * (1 + expected.spread)
      expect(Math.abs(found.mean - expected.mean)).toBeLessThan(tolerance)
      expect(Math.abs((found.spread ?? Number.NaN) - expected.spread)).toBeLessThan(tolerance)
    }),
  )
})
