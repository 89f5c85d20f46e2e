import { expect, test } from 'vitest'
import { budgetLines } from '../../../../server/engine/uncertainty/budget-lines.ts'
import { aBudget, perfectPapers } from '../../../support/a-budget.ts'
import { aNightStation, gas } from '../../../support/engine-night.ts'

test('a budget reads as lines: what, of which gas, how much, and how it came about', () => {
  // By hand: 2 % of 100 ppm evenly spread is 1.1547 ppm; 28.01 / 22.41397 mg/m³ per ppm make 1.443 mg/m³; 0.1 · 30 ppm / √3 = 1.7321 ppm makes 2.1645 mg/m³; shares 4 : 9.
  const station = aNightStation({
    channels: [
      gas('co', { uncertainty: { ...perfectPapers, linearityPercent: 2, crossSensitivity: { no: 0.1 } } }),
      gas('no'),
    ],
  })
  const minutes = Array.from({ length: 30 }, () => [Array(60).fill(100), Array(60).fill(30)])
  const lines = budgetLines(aBudget({ station, channel: 'co', quantity: 'mass_concentration', minutes }))
  expect(lines.slice(0, 2)).toEqual([
    {
      name: 'other gas read along, co, no',
      standard: expect.closeTo(((3 / Math.sqrt(3)) * 28.01) / 22.41397, 4),
      share: expect.closeTo(900 / 13, 4),
      detail: 'u 1.732 ppm × 1.25 mg/m³ per ppm, evenly spread',
    },
    {
      name: 'departure from the straight line, co',
      standard: expect.closeTo(((2 / Math.sqrt(3)) * 28.01) / 22.41397, 4),
      share: expect.closeTo(400 / 13, 4),
      detail: 'u 1.155 ppm × 1.25 mg/m³ per ppm, evenly spread',
    },
  ])
})
