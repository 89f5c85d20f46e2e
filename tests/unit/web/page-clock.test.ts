import { expect, test } from 'vitest'
import { type ClockAnchor, followClock, stationTime } from '../../../web/page-clock.ts'

const told = (stationMs: number, pageMs: number, speed = 1): ClockAnchor => ({ stationMs, pageMs, speed })

test('the first word of the station’s time is taken as it is', () => {
  expect(stationTime(followClock(null, told(1_000_000, 50)), 1050)).toBe(1_001_000)
})
test('a message that was five seconds on its way does not turn the clock back', () => {
  const clock = followClock(told(100_000, 0), told(105_000, 10_000))
  expect(stationTime(clock, 10_000)).toBe(109_998)
})
test('an hour of queued messages read at once leaves the clock within a few seconds', () => {
  let clock = told(0, 0)
  for (let second = 1; second <= 3600; second++) clock = followClock(clock, told(second * 1000, 3_600_000))
  expect(stationTime(clock, 3_600_000)).toBeGreaterThan(3_592_000)
})
test('a page clock that stood still in sleep is caught up with the first message', () => {
  expect(stationTime(followClock(told(0, 0), told(600_000, 1000)), 1000)).toBe(600_000)
})
test('a page clock that runs 0.1 % fast does not make lines look old after a night', () => {
  let clock = told(0, 0)
  for (let second = 1; second <= 36_000; second++) clock = followClock(clock, told(second * 1000, second * 1001))
  expect(stationTime(clock, 36_000 * 1001) - 36_000_000).toBeLessThan(3)
})
test('at sixty times the speed a second of the page is a minute of the station', () => {
  expect(stationTime(told(0, 0, 60), 1000)).toBe(60_000)
})
