import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { doubtSources } from '../../../server/engine/uncertainty/contributions.ts'
import { aBudget } from '../../support/a-budget.ts'
import { aNightStation, gas } from '../../support/engine-night.ts'

const page = readFileSync(join(import.meta.dirname, '../../../docs/uncertainty.md'), 'utf8')

/** The page's half-hour: CO about 100 ppm in minutes of 98, 99, 101, 102 and 100 ppm, each reading 1 ppm above or below; 40 ppm NO, 5 % oxygen, steady. */
const minutes = Array.from({ length: 20 }, (_, number) => {
  const level = [98, 99, 101, 102, 100][number % 5] as number
  const steady = (value: number) => Array.from({ length: 60 }, () => value)
  return [Array.from({ length: 60 }, (_, second) => level + (second % 2 === 0 ? 1 : -1)), steady(40), steady(5)]
})
const example = (quantity: string) =>
  aBudget({
    station: aNightStation({
      channels: [
        gas('co', { t95Seconds: 50, decimals: 1 }),
        gas('no', { t95Seconds: 55, decimals: 1 }),
        { ...gas('o2'), t95Seconds: 40, decimals: 2 },
      ],
      corrections: { zero: 'last' },
      conversions: { referenceOxygen: 3, ambientOxygen: 21 },
    }),
    channel: 'co',
    quantity,
    minutes,
    denominatorMs: 1_800_000,
    // The readings end at 20 minutes of the example's clock: the zero was taken an hour before.
    zeros: [{ channel: 0, atMs: 1_200_000 - 3_600_000, mean: 0.8, standardDeviation: 0.5, count: 60 }],
  })

const root3 = Math.sqrt(3)
/** By hand, step by step, as the page has it; in ppm. */
const byHand = {
  linearity: (0.02 * 100) / root3,
  'span-drift': (0.02 * 100) / root3,
  'calibration-gas': (0.02 / 2) * 100,
  'residual-water': (0.01 / root3) * 100,
  'cross-sensitivity': (0.02 * 40) / root3,
  'unsampled-time': Math.sqrt(40 / 19) * Math.sqrt(1 / 3 / ((20 * (1 - 6 / 19)) / (1 + 6 / 19))),
  'zero-drift': Math.sqrt((2 * 2) / 24 / 3 + 0.5 ** 2 / 60),
  repeatability: Math.sqrt(60 / 59) / Math.sqrt(1200 / ((2 * 50) / 3)),
  response: ((50 / 1200) * 2) / root3,
  resolution: 0.1 / Math.sqrt(12),
}

describe('the worked example', () => {
  const budget = example('drift_corrected')

  test.each(Object.entries(byHand))('%s is what the hand calculation gives, and what the page prints', (source, u) => {
    const found = budget.contributions.find((one) => one.source === source)
    expect(found?.contribution).toBeCloseTo(u, 9)
    expect(page).toContain(`**${u.toFixed(4)}**`)
  })

  test('has no other source, and the page ranks them as the budget does', () => {
    expect(budget.contributions.map(({ source }) => source).sort()).toEqual(Object.keys(byHand).sort())
    const rows = [...page.matchAll(/^\| `([a-z-]+)` \| .*\*\*(\d+\.\d{4})\*\* \|/gm)].map(([, , u]) => Number(u))
    expect(rows.slice(0, 10)).toEqual(rows.slice(0, 10).toSorted((a, b) => b - a))
  })

  test('adds up to U, and its shares to 100 %', () => {
    const combined = Math.sqrt(Object.values(byHand).reduce((sum, u) => sum + u * u, 0))
    expect(budget.combined).toBeCloseTo(combined, 9)
    expect(page).toContain(`**${combined.toFixed(4)}** ppm`)
    expect(page).toContain(`100.0 ± ${(2 * combined).toFixed(1)} ppm`)
  })

  test('at reference oxygen: by the slopes of the equation, the water acting on both gases', () => {
    const y = ((100 * 28.01) / 22.41397) * (18 / 16)
    const [perPpm, perPercent] = [y / 100, y / 16]
    const { 'residual-water': _, ...own } = byHand
    const oxygen = [0.2 / root3, 0.2 / root3, (0.01 * 5) / root3, (0.01 / 2) * 5, 0.01 / Math.sqrt(12)]
    const combined = Math.sqrt(
      Object.values(own).reduce((sum, u) => sum + (perPpm * u) ** 2, 0) +
        oxygen.reduce((sum, u) => sum + (perPercent * u) ** 2, 0) +
        ((y * (1 + 5 / 16) * 0.01) / root3) ** 2,
    )
    const referred = example('at_reference_oxygen')
    expect(referred.value).toBeCloseTo(y, 3)
    expect(referred.combined).toBeCloseTo(combined, 4)
    expect(page).toContain(`**${combined.toFixed(3)}** mg/m³`)
    expect(page).toContain(`${y.toFixed(1)} ± ${(2 * combined).toFixed(1)} mg/m³`)
  })
})

test('the page names every source', () => {
  expect(doubtSources.filter((source) => !page.includes(`\`${source}\``))).toEqual([])
})
