import { expect, test } from 'vitest'
import type { ReadingState } from '../../../protocols/live/messages.ts'
import { RecentReadings } from '../../../web/recent-readings.ts'
import { transferOf } from '../../../web/transfer-check.ts'

// No published rule: a figure stands for all that rounds to it; by hand, 4.3 stands for 4.25 to 4.35.
test.each([
  ['4.3', { low: 4.26, high: 4.28 }, { kind: 'agrees' }], //  both round to 4.3
  ['4,3', { low: 4.35, high: 4.4 }, { kind: 'agrees' }], //  4.35 is the edge; comma as point
  ['12', { low: 12.4, high: 13 }, { kind: 'agrees' }], //  12 stands for 11.5 to 12.5
  ['−0.2', { low: -0.24, high: -0.21 }, { kind: 'agrees' }], //  noise under zero, with a printed minus
  ['4.30', { low: 4.32, high: 4.4 }, { kind: 'differs', by: expect.closeTo(0.015, 9) }], //  4.32 − 4.305
  ['20.9', { low: 3.9, high: 4.1 }, { kind: 'differs', by: expect.closeTo(16.75, 9) }], //  20.85 − 4.1
  ['4.3', null, { kind: 'no-lines' }],
  ['4.3 %', { low: 4, high: 5 }, { kind: 'no-number' }],
  ['', { low: 4, high: 5 }, { kind: 'no-number' }],
])('a display of %j against lines of %j: %j', (typed, lines, expected) => {
  expect(transferOf(typed, lines)).toEqual(expected)
})

const reading = (atMs: number, asRead: number | null, arrivedMs?: number): ReadingState => ({
  stream: 'main',
  atMs,
  phase: 'measure',
  plant: 'running',
  ...(arrivedMs === undefined ? {} : { arrivedMs }),
  values: { o2: { asRead, corrected: asRead, referred: null, flag: 0 } },
})

test('a window begins before it is opened and goes on until its end', () => {
  const recent = new RecentReadings()
  for (const [at, value] of [
    [0, 9],
    [5000, 4.1],
    [8000, 4.3],
  ] as const)
    recent.push(reading(at, value))
  const window = recent.open(4000, 14_000)
  recent.push(reading(13_000, 4.6))
  recent.push(reading(15_000, 1))
  expect(window.of('o2')).toEqual({ low: 4.1, high: 4.6 })
})
test('what counts is when a line came, and a missing value is none', () => {
  const recent = new RecentReadings()
  const window = recent.open(4000, 14_000)
  recent.push(reading(0, 4.2, 6000))
  recent.push(reading(6000, 9, 60_000))
  recent.push(reading(7000, null))
  expect([window.of('o2'), window.of('co')]).toEqual([{ low: 4.2, high: 4.2 }, null])
})
