import { describe, expect, test } from 'vitest'
import { isFlagged } from '../../../protocols/live/flags.ts'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { Flag } from '../../../protocols/live/requests.ts'
import { StreamHistory } from '../../../web/history.ts'
import { flagGroups, flagsFrom } from '../../../web/views/watch/flags.ts'
import { stepFor } from '../../../web/views/watch/table-steps.ts'

const second = 1000

describe('a chart as a table', () => {
  const history = new StreamHistory(['co'], second)
  for (const [at, value] of [
    [0, 5],
    [1, 9],
    [2, 7],
    [7, 1],
  ] as const)
    history.push(at * second, () => value, Number.NEGATIVE_INFINITY)
  test('each step has the lowest and highest of its readings, and one without any has none', () => {
    expect(history.steps('co', 0, 8 * second, 2 * second)).toEqual([
      { low: 5, high: 9 },
      { low: 7, high: 7 },
      null,
      { low: 1, high: 1 },
    ])
  })
  test('an unknown channel has no values', () => {
    expect(history.steps('no', 0, 4 * second, 2 * second)).toEqual([null, null])
  })
  test.each([
    [60 * second, second], //  a minute: 60 rows of one second
    [2 * 3600 * second, 120 * second], //  two hours: 60 rows of two minutes
    [12 * 3600 * second, 900 * second], //  a night: 48 rows of a quarter
    [30 * 86_400 * second, 43_200 * second], //  30 days: 60 rows of half a day
  ])('%i ms are told in steps of %i ms, at most sixty', (span, step) => {
    expect(stepFor(span)).toBe(step)
  })
})

describe('flags', () => {
  const entry = (id: string, atMs: number, more: Partial<LogbookEntry> = {}): LogbookEntry => ({
    id,
    atMs,
    kind: 'note',
    stream: null,
    text: id,
    by: 'M. Example',
    savedMs: null,
    severity: 'plain',
    ...more,
  })
  test('what stands closer than a finger is wide is one flag, and an alarm in it decides its shape', () => {
    const told = [entry('c', 110), entry('a', 10), entry('b', 50, { kind: 'alarm', severity: 'abnormal', by: null })]
    expect(flagGroups(flagsFrom(told, 0), 0, 1000, 60)).toEqual([
      { atMs: 10, endMs: 50, count: 2, sign: 'alarm', kind: 'note' },
      { atMs: 110, endMs: 110, count: 1, sign: 'note', kind: 'note' },
    ])
  })
  test('what the station folded is counted on, from the first entry to the last', () => {
    const folded: Flag = { atMs: 5, endMs: 40, count: 700, sign: 'alarm', kind: 'run' }
    const told = flagsFrom([entry('before', 40), entry('a', 41)], 41)
    expect(flagGroups([folded, ...told], 0, 1000, 60)).toEqual([
      { atMs: 5, endMs: 41, count: 701, sign: 'alarm', kind: 'run' },
    ])
  })
  test('a zero that was taken and an alarm that was seen stay in the logbook alone', () => {
    const zero = entry('z', 10, { kind: 'event', by: null })
    const seen = entry('s', 20, { kind: 'alarm', severity: 'notable' })
    expect([zero, seen, entry('n', 30)].filter(isFlagged).map(({ id }) => id)).toEqual(['n'])
  })
})
