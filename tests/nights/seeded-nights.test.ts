import { describe, expect, test } from 'vitest'
import { type Compared, compareNight, coverageOf } from './compare-nights.ts'
import { type CellsOfNights, nightOf } from './declared-instruments.ts'

/*
 * A sample of the seeded nights, with a line every five seconds; all two hundred: seeded-nights.e2e.ts. The blocks of a night share
 * their cells, so 24 nights tell the coverage to about ±2 % (k = 2, from the spread between nights): the band is that much wider here.
 */
const nights = (count: number, cells: CellsOfNights): Compared[] =>
  Array.from({ length: count }, (_, place) => compareNight(nightOf(place + 1, cells, 5), place + 1)).flat()

describe('24 nights with cells as good as their papers', () => {
  const compared = nights(24, 'declared')

  test('all half-hours are valid and compared: five gases and NOx, as measured, as mass and at reference oxygen', () => {
    expect(compared).toHaveLength(24 * 24 * (1 + 5 * 3))
  })

  test('the truth of the whole half-hour lies within ±U in 93 to 98 %, give or take what 24 nights can tell', () => {
    const { within, withinError, median } = coverageOf(compared, 'wholeTruth')
    expect(2 * withinError).toBeLessThan(0.03)
    expect(within).toBeGreaterThan(0.91)
    expect(within).toBeLessThan(0.99)
    expect(median).toBeGreaterThan(0.25)
    expect(median).toBeLessThan(0.45)
  })
})

test('cells twice as bad as their papers are found out: the truth lies outside ±U far more often', () => {
  expect(coverageOf(nights(12, 'doubled'), 'wholeTruth').within).toBeLessThan(0.85)
})

test('cells better than their papers lie within ±U always: the papers bound them, they do not describe them', () => {
  expect(coverageOf(nights(6, 'as-published'), 'wholeTruth').within).toBeGreaterThan(0.99)
})
