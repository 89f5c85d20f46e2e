import fc from 'fast-check'
import { expect, test } from 'vitest'
import { aBudget, perfectPapers } from '../support/a-budget.ts'
import { aNightStation, gas } from '../support/engine-night.ts'

const level = fc.double({ min: -5, max: 900, noNaN: true })
const oxygen = fc.double({ min: 0, max: 18.9, noNaN: true })
const conversions = { referenceOxygen: 3, ambientOxygen: 21 } as const
const steady = (...levels: readonly number[]) =>
  Array.from({ length: 3 }, (_, number) => levels.map((one) => [one, one * (1 + 0.01 * number), one]))

const papers = fc.record({
  resolution: fc.double({ min: 1e-6, max: 2, noNaN: true }),
  calibrationGasPercent: fc.double({ min: 0, max: 10, noNaN: true }),
  linearity: fc.double({ min: 0, max: 5, noNaN: true }),
  linearityPercent: fc.double({ min: 0, max: 10, noNaN: true }),
  zeroDrift: fc.double({ min: 0, max: 5, noNaN: true }),
  spanDriftPercent: fc.double({ min: 0, max: 10, noNaN: true }),
  residualWaterPercent: fc.double({ min: 0, max: 5, noNaN: true }),
})
type Papers = typeof papers extends fc.Arbitrary<infer T> ? T : never
const referred = (co: number, o2: number, said: Papers) =>
  aBudget({
    station: aNightStation({
      channels: [gas('co', { uncertainty: said }), gas('o2', { uncertainty: perfectPapers })],
      conversions,
    }),
    channel: 'co',
    quantity: 'at_reference_oxygen',
    minutes: steady(co, o2),
  })

test('an uncertainty is a finite number, never negative, and its shares add up to the whole', () => {
  fc.assert(
    fc.property(level, oxygen, papers, (co, o2, said) => {
      const { expanded, contributions } = referred(co, o2, said)
      expect(expanded).toBeGreaterThanOrEqual(0)
      expect(Number.isFinite(expanded)).toBe(true)
      expect(contributions.reduce((sum, { sharePercent }) => sum + sharePercent, 0)).toBeCloseTo(100, 6)
    }),
    { numRuns: 60 },
  )
})

test('worse papers never make a mean surer', () => {
  fc.assert(
    fc.property(
      level,
      oxygen,
      papers,
      fc.constantFrom(...(Object.keys(perfectPapers) as (keyof Papers)[])),
      (co, o2, said, which) => {
        const worse = { ...said, [which]: said[which] * 1.5 }
        expect(referred(co, o2, worse).expanded).toBeGreaterThanOrEqual(referred(co, o2, said).expanded * (1 - 1e-12))
      },
    ),
    { numRuns: 60 },
  )
})

test('the same gas in ppm, ppb or vol% is as sure, also by what is built in', () => {
  fc.assert(
    fc.property(fc.double({ min: 1, max: 900, noNaN: true }), (ppm) => {
      const of = (unit: 'ppm' | 'ppb' | 'vol%', factor: number) => {
        const { value, expanded } = aBudget({
          station: aNightStation({ channels: [gas('co', { unit }), gas('no', { unit: 'ppm' })] }),
          channel: 'co',
          quantity: 'as_read',
          minutes: steady(ppm * factor, 50),
        })
        return expanded / value
      }
      expect(of('ppb', 1000)).toBeCloseTo(of('ppm', 1), 9)
      expect(of('vol%', 1e-4)).toBeCloseTo(of('ppm', 1), 9)
    }),
    { numRuns: 30 },
  )
})
