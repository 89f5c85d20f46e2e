import fc from 'fast-check'
import { expect, test } from 'vitest'
import { createAlarmBook } from '../../server/engine/alarms/book.ts'
import { aLimit, stationWith } from '../support/alarm-station.ts'

/** A level that holds for some readings, with noise of ±1 about it; the deadband of 2.5 is wider than the noise. The limit is 50. */
const stretch = fc.record({
  level: fc.constantFrom(30, 49.6, 50, 50.4, 70),
  noise: fc.array(fc.double({ min: -1, max: 1, noNaN: true }), { minLength: 5, maxLength: 40 }),
})

test('a value that trembles about its limit gives at most one alarm per real crossing', () => {
  fc.assert(
    fc.property(
      fc.array(stretch, { minLength: 1, maxLength: 12 }),
      fc.constantFrom(0, 20),
      (stretches, delaySeconds) => {
        const book = createAlarmBook(
          stationWith({
            limits: [aLimit({ deadband: 2.5, onDelaySeconds: delaySeconds, offDelaySeconds: delaySeconds })],
          }),
        )
        stretches
          .flatMap(({ level, noise }) => noise.map((by) => level + by))
          .forEach((value, index) => {
            book.limitValue(0, value, index * 10_000)
          })
        // A real crossing: the level came over the lower edge of what trembling can reach, after having been under it.
        const crossings = stretches.filter(
          ({ level }, index) => level > 30 && (stretches[index - 1]?.level ?? 30) === 30,
        ).length
        expect(book.take().filter(({ input }) => input === 'enter').length).toBeLessThanOrEqual(crossings)
      },
    ),
  )
})

test('without a deadband the same trembling does chatter, so the test above can fail', () => {
  const book = createAlarmBook(stationWith({ limits: [aLimit()] }))
  for (let index = 0; index < 20; index += 1) book.limitValue(0, index % 2 === 0 ? 50.5 : 49.5, index * 10_000)
  expect(book.take().filter(({ input }) => input === 'enter')).toHaveLength(10)
})
