import { expect, test } from 'vitest'
import { instantOf } from '../../../server/commands/instant.ts'

test('a time on the command line is an instant, whatever zone the machine is in', () => {
  const at = Date.UTC(2026, 10, 20, 18)
  expect([instantOf('--from', '2026-11-20T18:00:00Z'), instantOf('--from', '2026-11-20T19:00:00+01:00')]).toEqual([
    at,
    at,
  ])
})
test.each(['2026-11-20T18:00:00', '2026-11-20', '18:00', '1', 'yesterday', ''])('%j tells no instant', (text) => {
  expect(() => instantOf('--block', text)).toThrow(/^--block .*: is not a time as 2026-11-20T18:00:00Z/)
})
