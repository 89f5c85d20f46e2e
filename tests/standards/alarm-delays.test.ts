import { expect, test } from 'vitest'
import { type AlarmBook, createAlarmBook, stationAxis } from '../../server/engine/alarms/book.ts'
import { aLimit, stationWith } from '../support/alarm-station.ts'

// Sources: OPC UA Part 9, B.1.5 (limit, deadband: rule AL-2); ISA-18.2 / IEC 62682, alarm states (rules AL-1, AL-4), from memory.
// Vector V20 of the project's data-handling rules, worked by hand: a reading each 10 s from 0 s, limit 50, true above it,
// clear at or below 50 − 1 = 49, on-delay 30 s, off-delay 60 s.
// 10…20 s true, broken at 30 s; true without break from 40 s: raised at 70 s. Clear at 90…100 s, broken by 49.2 at
// 110 s; clear without break from 120 s: returned at 180 s.
const values = [48, 51, 52, 49, 51, 52, 53, 51, 49.5, 48.5, 48.9, 49.2, 48.0, 47.0, 47.5, 47, 47, 47, 47, 47]
const limits = [aLimit({ value: 50, deadband: 1, onDelaySeconds: 30, offDelaySeconds: 60 })]

/** Plays the readings and acknowledges once; a press at the moment of a reading comes after it. */
function play(book: AlarmBook, acknowledgeAtSeconds: number): string[] {
  const acknowledge = () =>
    book.operate({ do: 'acknowledge', alarm: 'limit:co', note: 'seen' }, 'A. Tester', acknowledgeAtSeconds * 1000)
  values.forEach((value, index) => {
    for (const axis of [stationAxis, 'main']) book.advance(axis, index * 10_000)
    book.limitValue(0, value, index * 10_000)
    if (index * 10 === acknowledgeAtSeconds) expect(acknowledge()).toEqual({ ok: true })
  })
  return book.take().map(({ atMs, to }) => `${atMs / 1000} s ${to}`)
}

test('V20 a: acknowledged while it stands, an alarm ends in normal when its cause has gone (AL-2, AL-4)', () => {
  expect(play(createAlarmBook(stationWith({ limits })), 100)).toEqual([
    '70 s raised',
    '100 s acknowledged',
    '180 s normal',
  ])
})

test('V20 b: returned before anybody saw it, an alarm ends in normal when it is acknowledged (AL-2, AL-4)', () => {
  expect(play(createAlarmBook(stationWith({ limits })), 190)).toEqual(['70 s raised', '180 s returned', '190 s normal'])
})

test('V20 mirrored: a low limit behaves as the high one turned over (AL-2)', () => {
  const book = createAlarmBook(
    stationWith({ limits: [aLimit({ kind: 'low', value: 50, deadband: 1, onDelaySeconds: 30, offDelaySeconds: 60 })] }),
  )
  values.forEach((value, index) => {
    book.limitValue(0, 100 - value, index * 10_000)
  })
  expect(book.take().map(({ atMs, to }) => `${atMs / 1000} s ${to}`)).toEqual(['70 s raised', '180 s returned'])
})
