import { expect, test } from 'vitest'
import { draw, wander } from '../../../simulator/distribution.ts'
import { chance, xoshiro128 } from '../../../simulator/random.ts'

const many = 200_000
const series = (next: () => number, length = many): number[] => Array.from({ length }, next)
const mean = (of: readonly number[]): number => of.reduce((sum, value) => sum + value, 0) / of.length
const moment = (of: readonly number[], power: number): number => {
  const centre = mean(of)
  return mean(of.map((value) => (value - centre) ** power))
}

test('the generator gives the published sequence of xoshiro128** from the state 1, 2, 3, 4', () => {
  // Source: output of the reference implementation xoshiro128starstar.c 1.1, as used for the test of a public random-number library.
  const next = xoshiro128([1, 2, 3, 4])
  expect(series(next, 10)).toEqual([
    11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849, 3729100597, 4258142804,
  ])
})

test('uniform numbers have mean 1/2 and variance 1/12', () => {
  // Four standard errors of 200 000 draws: of the mean 4 · 0.2887 / 447 = 0.0026; of the variance 4 · sqrt(1/180) / 447 = 0.00067.
  const values = series(chance(7, 'uniform').uniform)
  expect(Math.abs(mean(values) - 0.5)).toBeLessThan(0.0026)
  expect(Math.abs(moment(values, 2) - 1 / 12)).toBeLessThan(0.00067)
  expect(values.every((value) => value >= 0 && value < 1)).toBe(true)
})

test('normal numbers have mean 0, variance 1, no skew and kurtosis 3', () => {
  // Standard errors: 1/447 = 0.0022, sqrt(2)/447 = 0.0032, sqrt(15)/447 = 0.0087 (third), sqrt(96)/447 = 0.022 (fourth); four of each.
  const values = series(chance(7, 'normal').normal)
  expect(Math.abs(mean(values))).toBeLessThan(0.009)
  expect(Math.abs(moment(values, 2) - 1)).toBeLessThan(0.013)
  expect(Math.abs(moment(values, 3))).toBeLessThan(0.035)
  expect(Math.abs(moment(values, 4) - 3)).toBeLessThan(0.088)
})

test('streams of different names and seeds have nothing in common', () => {
  const one = series(chance(1, 'a').normal, 20_000)
  const correlation = (other: readonly number[]): number => mean(one.map((value, index) => value * (other[index] ?? 0)))
  // Four standard errors of 20 000 pairs: 0.028.
  expect(Math.abs(correlation(series(chance(1, 'b').normal, 20_000)))).toBeLessThan(0.028)
  expect(Math.abs(correlation(series(chance(2, 'a').normal, 20_000)))).toBeLessThan(0.028)
  expect(series(chance(1, 'a').normal, 20_000)).toEqual(one)
})

test('a parameter is drawn from the distribution that the scenario declares', () => {
  const by = chance(3, 'draws')
  const even = series(() => draw({ uniform: [0.98, 1.02] }, by))
  const bell = series(() => draw({ normal: { mean: 1, standardDeviation: 0.5 } }, by))
  // Even between 0.98 and 1.02: standard deviation 0.04 / sqrt(12) = 0.011547.
  expect(mean(even)).toBeCloseTo(1, 3)
  expect(Math.sqrt(moment(even, 2))).toBeCloseTo(0.011547, 4)
  expect(even.every((value) => value >= 0.98 && value <= 1.02)).toBe(true)
  expect(Math.abs(mean(bell) - 1)).toBeLessThan(0.0045)
  expect(Math.abs(Math.sqrt(moment(bell, 2)) - 0.5)).toBeLessThan(0.0032)
  expect(draw(4.2, by)).toBe(4.2)
})

test('wandering noise keeps its spread and forgets itself to 1/e after its time', () => {
  const noise = wander(2, 50, chance(5, 'wander'))
  const values = series(() => noise.next(1))
  const lag = 50
  const together = mean(values.slice(lag).map((value, index) => value * (values[index] ?? 0)))
  // 200 000 steps hold about 2000 independent stretches of 2 · 50 s: standard errors near 2 % of the variance; four of them.
  expect(Math.abs(moment(values, 2) / 4 - 1)).toBeLessThan(0.1)
  expect(Math.abs(together / 4 - Math.exp(-1))).toBeLessThan(0.1)
})
