import { expect, test } from 'vitest'
import { silenceLimitMs } from '../../../server/sources/freshness.ts'
import { isToldAttempt, serialRetry, tcpRetry } from '../../../server/sources/retry.ts'

const failures = [0, 1, 2, 3, 4, 5, 6, 7, 100, 100_000]

test('a serial port is tried after 1, 2, 4 and then every 5 seconds', () => {
  expect(failures.map(serialRetry)).toEqual([1000, 1000, 2000, 4000, 5000, 5000, 5000, 5000, 5000, 5000])
})

test('a TCP peer is tried ever more rarely, to 30 seconds, spread over half of it', () => {
  expect(failures.map(tcpRetry(() => 1))).toEqual([
    1000, 1000, 2000, 4000, 8000, 16_000, 30_000, 30_000, 30_000, 30_000,
  ])
  expect(failures.map(tcpRetry(() => 0))).toEqual([500, 500, 1000, 2000, 4000, 8000, 15_000, 15_000, 15_000, 15_000])
})

test('attempts are told at the powers of two', () => {
  expect(Array.from({ length: 20 }, (_, index) => index + 1).filter(isToldAttempt)).toEqual([1, 2, 4, 8, 16])
})

test.each([
  { every: 1, speed: 1, limit: 10_000 }, // the least
  { every: 10, speed: 1, limit: 50_000 }, // five intervals
  { every: 60, speed: 60, limit: 5000 }, // five intervals of station time
  { every: 1, speed: 60, limit: 2000 }, // the least of a night at speed
])('a line every $every s at speed $speed: silence is called after $limit real ms', ({ every, speed, limit }) => {
  expect(silenceLimitMs({ expectEverySeconds: every }, speed)).toBe(limit)
})
