import { describe, expect, test } from 'vitest'
import { combine } from '../../server/engine/uncertainty/budget.ts'
import { aBudget, contributionOf, perfectPapers } from '../support/a-budget.ts'
import { aNightStation, gas } from '../support/engine-night.ts'
import { input, workedValue } from '../support/worked-values.ts'

const air = { referenceOxygen: 3, ambientOxygen: 21 } as const
/** Half an hour of steady gas: nothing scatters, nothing changes, so that only the papers speak. */
const steady = (...levels: readonly number[]) =>
  Array.from({ length: 30 }, () => levels.map((level) => Array.from({ length: 60 }, () => level)))

/** A pollutant in mg/m³ and its oxygen, both with one source of doubt each: u(c) = 2 % by the cylinder, u(O) by the straight line. */
const referred = (mass: number, massPercent: number, oxygen: number, oxygenHalfWidth: number) =>
  aBudget({
    station: aNightStation({
      channels: [
        gas('co', { unit: 'mg/m3', uncertainty: { ...perfectPapers, calibrationGasPercent: 2 * massPercent } }),
        gas('o2', { uncertainty: { ...perfectPapers, linearity: oxygenHalfWidth } }),
      ],
      conversions: air,
    }),
    channel: 'co',
    quantity: 'at_reference_oxygen',
    minutes: steady(mass, oxygen),
  })

describe('the reference-oxygen equation', () => {
  // Source: JCGM 100:2008, 5.1.2, on the equation of Directive 2010/75/EU, Annex VI, Part 7: u² = (k u_c)² + (c k u_O / (21 − O))², k = 18 / (21 − O).
  test('U-1, U-2: 150 mg/m3 ± 3 (u) at 5.2 % ± 0.15 (u) oxygen has u 3.78323 and U 7.56646 mg/m3 at 3 %', () => {
    const [one, two] = [workedValue('U-1'), workedValue('U-2')]
    const [mass, massU] = [input(one, 'c'), input(one, 'u_c')]
    const budget = referred(mass, (100 * massU) / mass, input(one, 'O'), input(one, 'u_O') * Math.sqrt(3))
    expect(Math.abs(budget.combined - (one.expected.value as number))).toBeLessThanOrEqual(one.tolerance.abs ?? 0)
    expect(Math.abs(budget.expanded - (two.expected.value as number))).toBeLessThanOrEqual(two.tolerance.abs ?? 0)
    expect(budget.contributions.map(({ source, channel }) => `${source} ${channel}`).slice(0, 2)).toEqual([
      'calibration-gas co',
      'linearity o2',
    ])
  })

  test('U-3: at 17 % oxygen a u of 0.2 % makes 5 % of the value by itself', () => {
    const row = workedValue('U-3')
    const budget = referred(100, 0, input(row, 'O'), input(row, 'u_O') * Math.sqrt(3))
    expect((100 * contributionOf(budget, 'linearity', 'o2')) / budget.value).toBeCloseTo(
      row.expected.value as number,
      6,
    )
  })

  test('U-4: a limit of 0.2 % is a standard uncertainty of 0.11547 %', () => {
    const row = workedValue('U-4')
    const found = referred(100, 0, 5, input(row, 'a')).contributions.find(({ source }) => source === 'linearity')
    expect(found).toMatchObject({ distribution: 'rectangular' })
    expect(Math.abs((found?.standard ?? 0) - (row.expected.value as number))).toBeLessThanOrEqual(
      row.tolerance.abs ?? 0,
    )
  })
})

test('JCGM 100:2008, H.1: the end gauge has u 32 nm with 16 degrees of freedom', () => {
  // From memory, table H.1 and H.1.6: standard 25 nm (18), difference 9.7 nm (25.6), expansion 2.9 nm (50), temperature 16.6 nm (2). By hand 31.67 nm and 16.76, which is truncated.
  const gauge = (contribution: number, degreesOfFreedom: number) => ({
    source: 'calibration-gas' as const,
    channel: null,
    from: null,
    standard: contribution,
    unit: null,
    distribution: 'normal' as const,
    degreesOfFreedom,
    sensitivity: 1,
    contribution,
  })
  const { combined, effectiveDegreesOfFreedom, contributions } = combine([
    gauge(9.7, 25.6),
    gauge(25, 18),
    gauge(2.9, 50),
    gauge(16.6, 2),
  ])
  expect(combined).toBeCloseTo(31.67, 2)
  expect(Math.floor(effectiveDegreesOfFreedom ?? 0)).toBe(16)
  expect(contributions.map(({ contribution }) => contribution)).toEqual([25, 16.6, 9.7, 2.9])
  expect(contributions.reduce((sum, { sharePercent }) => sum + sharePercent, 0)).toBeCloseTo(100, 9)
})

describe('one cause that acts on several inputs', () => {
  const dry = { ...perfectPapers, residualWaterPercent: 1 }
  const nox = (unit: 'ppm' | 'mg/m3', quantity: string) =>
    aBudget({
      station: aNightStation({
        channels: [
          gas('no', { uncertainty: { ...dry, crossSensitivity: { no2: 0 } } }),
          gas('no2', { uncertainty: { ...dry, crossSensitivity: { no: 0 } } }),
          gas('o2', { uncertainty: dry }),
          { id: 'nox', sumOf: ['no', 'no2'], species: 'NOx', unit: 'ppm' },
        ],
        conversions: air,
      }),
      channel: 'nox',
      quantity,
      unit,
      minutes: steady(80, 4, 5, 84),
    })

  test('adds up linearly, as ten resistors calibrated by one standard do', () => {
    // JCGM 100:2008, 5.2.2, example 1, from memory: u of the sum is the sum of the u. Here: water left in the gas, up to 1 vol%, lowers NO and NO2 alike: 84 · 0.01 / √3.
    expect(contributionOf(nox('ppm', 'as_read'), 'residual-water')).toBeCloseTo((84 * 0.01) / Math.sqrt(3), 9)
  })

  test('reaches the oxygen of the same gas too', () => {
    // By hand: y = c · 18 / (21 − O), c and O both · (1 + w): dy/dw = y · (1 + O / (21 − O)); O = 5, y = 84 · 46.0055 / 22.41397 · 18/16.
    const y = ((84 * 46.0055) / 22.41397) * (18 / 16)
    expect(contributionOf(nox('mg/m3', 'at_reference_oxygen'), 'residual-water')).toBeCloseTo(
      (y * (1 + 5 / 16) * 0.01) / Math.sqrt(3),
      4,
    )
  })

  test('a fixed moisture of 12 ± 1.2 % goes into the dry value', () => {
    // c / (1 − w): dc/dw = c_dry / (1 − w); 100 ppm wet at 12 %: 113.636 · 0.012 / 0.88 / √3 = 0.8947.
    const budget = aBudget({
      station: aNightStation({
        channels: [gas('co', { basis: 'wet', uncertainty: perfectPapers })],
        conversions: { moisture: { percent: 12 } },
      }),
      channel: 'co',
      quantity: 'dry',
      minutes: steady(100),
    })
    expect(budget.combined).toBeCloseTo(0.89466, 4)
  })
})
