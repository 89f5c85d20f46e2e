import { expect, test } from 'vitest'
import { compareNight, coverageOf } from './compare-nights.ts'
import { nightOf } from './declared-instruments.ts'

/*
 * Two hundred nights of twelve hours, a line every five seconds (docs/uncertainty.md has them with a line every second, too).
 * The truth is the mean of the dry gas at the probe over the whole half-hour, also while the instrument purged.
 */
test('over 200 nights the truth lies within ±U in 93 to 98 % of valid half-hours, the median error at 0.25 to 0.45 U', () => {
  const compared = Array.from({ length: 200 }, (_, place) =>
    compareNight(nightOf(place + 1, 'declared', 5), place + 1),
  ).flat()
  const { blocks, within, median } = coverageOf(compared, 'wholeTruth')
  expect(blocks).toBeGreaterThan(70_000)
  expect(within).toBeGreaterThanOrEqual(0.93)
  expect(within).toBeLessThanOrEqual(0.98)
  expect(median).toBeGreaterThanOrEqual(0.25)
  expect(median).toBeLessThanOrEqual(0.45)
}, 600_000)
