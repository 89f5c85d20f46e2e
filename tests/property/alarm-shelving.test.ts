import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type AlarmBook, createAlarmBook, stationAxis } from '../../server/engine/alarms/book.ts'
import { aLimit, stationWith } from '../support/alarm-station.ts'

const station = stationWith({ limits: [aLimit({ deadband: 2, onDelaySeconds: 20, offDelaySeconds: 20 })] })
const readings = fc.array(fc.constantFrom(40, 47, 49, 51, 60, Number.NaN), { minLength: 1, maxLength: 80 })

function play(book: AlarmBook, values: readonly number[]): AlarmBook {
  values.forEach((value, index) => {
    book.advance('main', index * 10_000)
    book.limitValue(0, value, index * 10_000)
  })
  return book
}
/** When its condition came and went: [ms, stands]. */
const condition = (book: AlarmBook) =>
  book
    .take()
    .filter(({ input }) => input === 'enter' || input === 'leave')
    .map(({ atMs, active }) => [atMs, active])

// Rule after ISA-18.2, as tabulated: a shelved alarm stays fully evaluated; only its announcement is withheld.
test('a shelved alarm is evaluated as if it were not shelved', () => {
  fc.assert(
    fc.property(readings, (values) => {
      const shelved = createAlarmBook(station)
      shelved.operate({ do: 'shelve', alarm: 'limit:co', untilMs: 86_400_000, note: 'repair' }, 'A. Tester', 0)
      expect(condition(play(shelved, values))).toEqual(condition(play(createAlarmBook(station), values)))
    }),
  )
})

test('when the shelf ends the alarm is raised if its condition stands, and only then', () => {
  fc.assert(
    fc.property(readings, (values) => {
      const book = createAlarmBook(station)
      book.operate({ do: 'shelve', alarm: 'limit:co', untilMs: 3_600_000, note: 'repair' }, 'A. Tester', 0)
      play(book, values)
      book.advance(stationAxis, 3_600_000)
      const last = book.take().at(-1)
      expect(last).toMatchObject({ input: 'shelf-expired', to: last?.active ? 'raised' : 'normal' })
    }),
  )
})
