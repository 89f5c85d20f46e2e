import { expect, test } from 'vitest'
import { robustMean } from '../../../../server/engine/corrections/robust-mean.ts'

// Source: Algorithm A of ISO 13528:2015, Annex C.3 (from memory); its equations worked by hand below.
const of = (...values: number[]) => robustMean(Float64Array.from(values))

test('one value far off moves the robust mean little, where it moves the mean by half a unit', () => {
  const { mean, spread } = of(4.5, 4.9, 5.6, 4.2, 6.2, 5.2, 9.9)
  // At the end only 9.9 lies outside and is moved to mean + 1.5 spread: mean = (30.6 + mean + 1.5 spread) / 7.
  expect(mean).toBeCloseTo((30.6 + mean + 1.5 * (spread ?? 0)) / 7, 8)
  const moved = [4.5, 4.9, 5.6, 4.2, 6.2, 5.2, mean + 1.5 * (spread ?? 0)]
  const squares = moved.reduce((sum, value) => sum + (value - mean) ** 2, 0)
  expect(spread).toBeCloseTo(1.134 * Math.sqrt(squares / 6), 8)
  expect([Number(mean.toFixed(2)), Number((spread ?? 0).toFixed(2))]).toEqual([5.39, 1.15])
})
test('five readings of which one is far off, which need hundreds of rounds, stand where the equations hold', () => {
  const { mean, spread } = of(4.6, 0.7, 4.1, 4.4, 3.7)
  // 0.7 lies outside. With mean = 4.2 − 0.375 spread, from the mean of the four others, the second equation is
  // spread² = 1.134² / 4 · (0.46 + 4 · (0.375 spread)² + (1.5 spread)²), so spread² = f · 0.46 / (1 − 2.8125 f), f = 1.134² / 4.
  const f = 1.134 ** 2 / 4
  const solved = Math.sqrt((f * 0.46) / (1 - 2.8125 * f))
  expect(spread).toBeCloseTo(solved, 11)
  expect(mean).toBeCloseTo(4.2 - 0.375 * solved, 11)
})
test('values without an outlier have their ordinary mean', () => {
  expect(of(1, 2, 3, 4, 5).mean).toBeCloseTo(3, 12)
})
test('coarse readings of which most are equal keep their mean', () => {
  // Six of ten are 0, four are 1: the median is 0, and so is the median deviation.
  expect(of(0, 0, 0, 0, 0, 0, 1, 1, 1, 1).mean).toBeCloseTo(0.4, 6)
})
test('equal readings have no spread, a single one has none that is known', () => {
  expect([of(4, 4, 4), of(4)]).toEqual([
    { mean: 4, spread: 0, bounds: null },
    { mean: 4, spread: null, bounds: null },
  ])
})
test('of readings with noise and a tenth of washout the zero is that of the rest', () => {
  // Nine tenths around 1 ± 0.2, a tenth still falling from 40: the mean would be near 3.
  const values = Array.from({ length: 100 }, (_, place) =>
    place < 10 ? 40 - 3 * place : 1 + 0.2 * Math.sin(place * 2.3),
  )
  expect(Math.abs(of(...values).mean - 1)).toBeLessThan(0.06)
})
