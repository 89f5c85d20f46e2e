import { expect, test } from 'vitest'
import type { AlarmStanding, LogbookEntry } from '../../../protocols/live/messages.ts'
import { firstOut, floodCount } from '../../../web/shell/alarm-floods.ts'
import { adviceAlarm, condensateAlarm } from '../../support/fixture-live/happenings.ts'

const now = Date.parse('2026-11-25T03:17:40Z')
const minute = 60_000
const raisedAt = (cause: string, minutesAgo: number, more: Partial<AlarmStanding> = {}): AlarmStanding => ({
  ...condensateAlarm(now - minutesAgo * minute),
  alarm: `health:${cause}:main`,
  cause,
  ...more,
})
const raising = (index: number, minutesAgo: number): LogbookEntry => ({
  id: `r${index}`,
  atMs: now - minutesAgo * minute,
  kind: 'alarm',
  stream: 'main',
  text: 'raised',
  by: null,
  savedMs: null,
  severity: 'abnormal',
})

test('of alarms that follow each other within ten minutes the earliest is the first-out', () => {
  const alarms = [raisedAt('pump-flow', 3), raisedAt('mains', 12), raisedAt('filter', 5)]
  expect(firstOut(alarms)).toEqual({ alarm: 'health:mains:main', of: 3 })
})
test('one that has stood for hours is no part of what happens now', () => {
  const alarms = [raisedAt('filter', 300, { state: 'acknowledged' }), raisedAt('mains', 4), raisedAt('pump-flow', 3)]
  expect(firstOut(alarms)).toEqual({ alarm: 'health:mains:main', of: 2 })
})
test('a single alarm, advice, and what is shelved make no first-out', () => {
  const alarms = [raisedAt('mains', 3), adviceAlarm(now - 4 * minute), raisedAt('filter', 5, { state: 'shelved' })]
  expect(firstOut(alarms)).toBeNull()
})

// ISA-18.2 / IEC 62682 (from memory): an alarm flood is more than ten alarms in ten minutes for one operator.
test('ten raisings in ten minutes are no flood, eleven are one', () => {
  const ten = Array.from({ length: 10 }, (_, index) => raising(index, index * 0.9))
  expect([floodCount(ten, now), floodCount([...ten, raising(10, 9.5)], now)]).toEqual([0, 11])
})
test('what was raised before the last ten minutes, or seen and gone within them, floods nothing', () => {
  const old = Array.from({ length: 20 }, (_, index) => raising(index, 10 + index))
  const seen = Array.from({ length: 20 }, (_, index): LogbookEntry => ({ ...raising(index, 1), severity: 'notable' }))
  expect(floodCount([...old, ...seen], now)).toBe(0)
})
