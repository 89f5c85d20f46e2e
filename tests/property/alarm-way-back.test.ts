import fc from 'fast-check'
import { expect, test } from 'vitest'
import { stationAxis } from '../../server/engine/alarms/book.ts'
import { happenings, nightAlarms, passTime, playNight } from '../support/alarm-night.ts'

test('no sequence of inputs leaves an alarm without a way back to normal', () => {
  fc.assert(
    fc.property(happenings, (night) => {
      const { book, atMs } = playNight(night)
      const by = 'A. Tester'
      for (const alarm of nightAlarms) book.operate({ do: 'unshelve', alarm, note: '' }, by, atMs)
      book.releaseLimits('main', atMs)
      for (let second = 0; second <= 200; second += 5) {
        const nowMs = atMs + second * 1000
        passTime(book, nowMs)
        for (let limit = 0; limit < 4; limit += 1) book.limitValue(limit, 48, nowMs) // clears all four: 48 ≤ 50 − 2, and 48 is not under 48
        for (const cause of ['condensate', 'mains'] as const) book.condition(cause, 'main', false, nowMs)
        book.advice(3, false, nowMs, null)
      }
      for (const alarm of nightAlarms) book.operate({ do: 'acknowledge', alarm, note: 'seen' }, by, atMs + 201_000)
      for (const alarm of nightAlarms) book.operate({ do: 'reset', alarm, note: '' }, by, atMs + 201_000)
      expect(book.standing()).toEqual([])
      expect(book.nextDueMs('main')).toBe(Number.POSITIVE_INFINITY)
      expect(book.nextDueMs(stationAxis)).toBe(Number.POSITIVE_INFINITY)
    }),
    { numRuns: 300 },
  )
})

test('each transition begins where the one before it ended', () => {
  fc.assert(
    fc.property(happenings, (night) => {
      const { book, atMs } = playNight(night)
      passTime(book, atMs + 200_000)
      const states = new Map<string, string>()
      for (const { alarm, from, to } of book.take()) {
        expect(from).toBe(states.get(alarm) ?? 'normal')
        states.set(alarm, to)
      }
      const last = [...states].filter(([, state]) => state !== 'normal').toSorted()
      expect(
        book
          .standing()
          .map(({ alarm, state }) => [alarm, state])
          .toSorted(),
      ).toEqual(last)
    }),
    { numRuns: 300 },
  )
})
