import { describe, expect, test } from 'vitest'
import { LinkWatch } from '../../../../server/engine/alarms/link-watch.ts'
import { PurgeWatch } from '../../../../server/engine/alarms/purge-watch.ts'
import { UnparsableRate } from '../../../../server/engine/alarms/unparsable-rate.ts'
import type { TellCondition } from '../../../../server/engine/alarms/watch.ts'

const never = Number.POSITIVE_INFINITY

/** What a watch told, as `9 silence on`, times in seconds. */
function listener(): { said: string[]; tell: TellCondition } {
  const said: string[] = []
  return { said, tell: (cause, isActive, atMs) => said.push(`${atMs / 1000} ${cause} ${isActive ? 'on' : 'off'}`) }
}

describe('link', () => {
  test('three missed lines are silence, and three lines end it', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(3, 1, tell)
    watch.link('open', 0)
    watch.line(true, 1_000)
    watch.advance(60_000)
    for (const atMs of [61_000, 64_000, 67_000, 70_000]) watch.line(true, atMs)
    expect(said).toEqual(['10 silence on', '67 silence off'])
    expect(watch.nextDueMs).toBe(79_000)
  })

  test('a single line in a long silence does not end it', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(1, 1, tell)
    watch.start(0)
    for (const atMs of [10_000, 20_000, 30_000, 40_000]) watch.line(true, atMs)
    expect(said).toEqual(['3 silence on'])
  })

  test('fast lines and a fast clock leave at least two real seconds', () => {
    const { tell } = listener()
    const watch = new LinkWatch(0.1, 60, tell)
    watch.start(0)
    expect(watch.nextDueMs).toBe(120_000)
    watch.speed(1, 1_000)
    expect(watch.nextDueMs).toBe(3_000)
  })

  test('an unplugged line is one alarm, and a readable line over an open link ends it', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(1, 1, tell)
    watch.link('open', 0)
    watch.line(true, 1_000)
    watch.link('lost', 1_500)
    watch.link('refused', 4_000)
    watch.advance(600_000)
    watch.link('open', 600_000)
    watch.line(false, 601_000)
    watch.line(true, 602_000)
    expect(said).toEqual(['1.5 lost-link on', '602 lost-link off'])
  })

  test('a link that is open again but brings nothing falls silent', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(1, 1, tell)
    watch.link('lost', 0)
    watch.link('open', 10_000)
    watch.advance(60_000)
    expect(said).toEqual(['0 lost-link on', '13 silence on'])
  })

  test('a source that closes because nothing came is silence, told once', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(10, 1, tell)
    watch.link('open', 0)
    watch.link('silent', 20_000)
    watch.link('open', 21_000)
    watch.link('silent', 51_000)
    expect(said).toEqual(['20 silence on'])
  })

  test('a file at its end is not silent', () => {
    const { said, tell } = listener()
    const watch = new LinkWatch(1, 1, tell)
    watch.line(true, 0)
    watch.link('ended', 500)
    watch.advance(3_600_000)
    expect(said).toEqual([])
  })
})

describe('purges', () => {
  const settings = { longestMinutes: 5, atLeastEveryMinutes: 60 }
  const minute = 60_000

  test('one that lasts too long is told until it ends', () => {
    const { said, tell } = listener()
    const watch = new PurgeWatch(settings, 1, tell)
    watch.start(0)
    watch.phase('purge', 10 * minute, 10 * minute)
    watch.advance(14 * minute)
    watch.phase('settle', 17 * minute, 17 * minute)
    expect(said).toEqual(['900 purge-overrun on', '1020 purge-overrun off'])
  })

  test('one that does not come is told until it comes, counted from the end of the last', () => {
    const { said, tell } = listener()
    const watch = new PurgeWatch(settings, 1, tell)
    watch.start(0)
    watch.phase('measure', 0, 0)
    watch.phase('purge', 59 * minute, 59 * minute)
    watch.phase('settle', 62 * minute, 62 * minute)
    watch.phase('measure', 63 * minute, 63 * minute)
    watch.advance(130 * minute)
    watch.phase('purge', 131 * minute, 131 * minute)
    expect(said).toEqual([`${122 * 60} purge-missing on`, `${131 * 60} purge-missing off`])
  })

  test('a zero counts as rest for the cells and is not watched for its length', () => {
    const { said, tell } = listener()
    const watch = new PurgeWatch(settings, 1, tell)
    watch.start(0)
    watch.phase('zero', 30 * minute, 30 * minute)
    watch.advance(200 * minute)
    expect(said).toEqual([])
  })

  test('a back-dated purge counts from its start, and its alarm is told now', () => {
    const { said, tell } = listener()
    const watch = new PurgeWatch(settings, 1, tell)
    watch.phase('purge', 0, 6 * minute)
    watch.advance(6 * minute)
    expect(said).toEqual(['360 purge-overrun on'])
  })

  test('on a scaled clock lines may lag by what two real seconds are on it, and as long after it runs at real speed', () => {
    const { said, tell } = listener()
    const watch = new PurgeWatch(settings, 1800, tell)
    watch.phase('purge', 0, 0)
    expect(watch.nextDueMs).toBe(65 * minute)
    watch.phase('measure', 64 * minute, 64 * minute)
    expect(said).toEqual([])
    expect(watch.nextDueMs).toBe((64 + 60 + 60) * minute)
    watch.speed(1, 130 * minute)
    expect(watch.nextDueMs).toBe(130 * minute + 2000)
    watch.advance(131 * minute)
    expect(said).toEqual([`${130 * 60 + 2} purge-missing on`])
  })

  test('nothing is watched without a setting, and nothing after the run', () => {
    const { said, tell } = listener()
    const unset = new PurgeWatch({}, 1, tell)
    unset.start(0)
    unset.phase('purge', 0, 0)
    expect(unset.nextDueMs).toBe(never)
    const ended = new PurgeWatch(settings, 1, tell)
    ended.start(0)
    ended.stop(61 * minute)
    expect(ended.nextDueMs).toBe(never)
    expect(said).toEqual(['3600 purge-missing on', '3660 purge-missing off'])
  })
})

describe('unparsable lines', () => {
  test('as many as allowed in a minute are no alarm, one more is', () => {
    const { said, tell } = listener()
    const rate = new UnparsableRate(6, tell)
    for (const second of [0, 9, 18, 27, 36, 45]) rate.refused(second * 1000)
    expect(said).toEqual([])
    rate.refused(54_000)
    expect(said).toEqual(['54 unparsable-lines on'])
  })

  test('the alarm clears at half the rate, when the lines have left the minute', () => {
    const { said, tell } = listener()
    const rate = new UnparsableRate(6, tell)
    for (const second of [0, 9, 18, 27, 36, 45, 54]) rate.refused(second * 1000)
    rate.advance(600_000)
    expect(said.at(-1)).toBe('87 unparsable-lines off') // at 87 s those of 0, 9, 18 and 27 s have left, and 3 remain
    expect(rate.nextDueMs).toBe(never)
  })

  test('lines from before a long quiet stretch are forgotten', () => {
    const { said, tell } = listener()
    const rate = new UnparsableRate(6, tell)
    for (let line = 0; line < 6; line += 1) rate.refused(1_000)
    for (const second of [120, 3_661]) rate.refused(second * 1000)
    expect(said).toEqual([])
  })

  test('lines spread over more than a minute are no rate', () => {
    const { said, tell } = listener()
    const rate = new UnparsableRate(6, tell)
    for (let second = 0; second < 3_600; second += 10) rate.refused(second * 1000)
    expect(said).toEqual([])
  })
})
