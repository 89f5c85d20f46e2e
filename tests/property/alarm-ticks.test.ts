import fc from 'fast-check'
import { expect, test } from 'vitest'
import { LinkWatch } from '../../server/engine/alarms/link-watch.ts'
import { PurgeWatch } from '../../server/engine/alarms/purge-watch.ts'
import { UnparsableRate } from '../../server/engine/alarms/unparsable-rate.ts'
import type { TellCondition, TimedWatch } from '../../server/engine/alarms/watch.ts'
import { happenings, passTime, playNight } from '../support/alarm-night.ts'

// Rule AL-9: the same lines and settings give the same alarms, however often time was told in between.

test('the alarms of a night do not depend on how often the clock was read', () => {
  fc.assert(
    fc.property(happenings, fc.array(fc.integer({ min: 0, max: 3_000_000 }), { maxLength: 40 }), (night, ticks) => {
      const plain = playNight(night)
      passTime(plain.book, plain.atMs + 200_000)
      const later = ticks.toSorted((a, b) => a - b)
      const ticked = playNight(night, (book, atMs) => {
        for (; (later[0] ?? Number.POSITIVE_INFINITY) < atMs; later.shift()) passTime(book, later[0] ?? 0)
        passTime(book, atMs)
      })
      passTime(ticked.book, ticked.atMs + 100_000)
      passTime(ticked.book, ticked.atMs + 200_000)
      expect(ticked.book.take()).toEqual(plain.book.take())
      expect(ticked.book.standing()).toEqual(plain.book.standing())
    }),
    { numRuns: 300 },
  )
})

test('an input brings its own axis up to its time, so a clock that nobody read loses no transition of a stream', () => {
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 6 }), fc.constantFrom(40, 49.5, 51, 60)), { maxLength: 60 }),
      (readings) => {
        const night = readings.map(([steps, value]) => ({
          afterMs: steps * 5000,
          what: 'value' as const,
          limit: 0,
          value,
        }))
        const plain = playNight(night)
        const unread = playNight(night, () => {})
        passTime(unread.book, unread.atMs)
        expect(unread.book.take()).toEqual(plain.book.take())
      },
    ),
  )
})

interface Case {
  readonly name: string
  readonly make: (tell: TellCondition) => TimedWatch & { move(move: number, atMs: number): void }
}
const watches: Case[] = [
  {
    name: 'link',
    make: (tell) => {
      const watch = new LinkWatch(5, 1, tell)
      const move = (what: number, atMs: number) =>
        what < 5
          ? watch.line(what < 3, atMs)
          : watch.link((['open', 'lost', 'silent', 'refused', 'ended'] as const)[what - 5] ?? 'open', atMs)
      return Object.assign(watch, { move })
    },
  },
  {
    name: 'purge',
    make: (tell) => {
      const watch = new PurgeWatch({ longestMinutes: 0.5, atLeastEveryMinutes: 1 }, 1, tell)
      const move = (what: number, atMs: number) =>
        watch.phase(
          (
            [
              'measure',
              'measure',
              'purge',
              'purge',
              'zero',
              'settle',
              'unknown',
              'fault',
              'standby',
              'measure',
            ] as const
          )[what] ?? 'measure',
          atMs - (what % 3) * 1000,
          atMs,
        )
      return Object.assign(watch, { move })
    },
  },
  {
    name: 'unparsable lines',
    make: (tell) => {
      const watch = new UnparsableRate(3, tell)
      return Object.assign(watch, { move: (_what: number, atMs: number) => watch.refused(atMs) })
    },
  },
]

test.each(watches)('what the watch of $name says does not depend on how often the clock was read', ({ make }) => {
  const moves = fc.array(fc.tuple(fc.integer({ min: 0, max: 40_000 }), fc.integer({ min: 0, max: 9 })), {
    maxLength: 60,
  })
  fc.assert(
    fc.property(moves, fc.integer({ min: 100, max: 20_000 }), (night, everyMs) => {
      const play = (ticked: boolean): unknown[] => {
        const said: unknown[] = []
        const watch = make((...told) => said.push(told))
        let atMs = 0
        for (const [afterMs, move] of [...night, [200_000, 0] as const]) {
          for (let tick = atMs; ticked && tick < atMs + afterMs; tick += everyMs) watch.advance(tick)
          atMs += afterMs
          watch.advance(atMs)
          watch.move(move, atMs)
        }
        return said
      }
      expect(play(true)).toEqual(play(false))
    }),
  )
})
