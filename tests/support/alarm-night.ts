import fc from 'fast-check'
import { type AlarmBook, createAlarmBook, stationAxis } from '../../server/engine/alarms/book.ts'
import type { StationFile } from '../../server/engine/settings/station-file.ts'
import { aLimit, stationWith } from './alarm-station.ts'

/** Anything that can happen to the alarms of one stream; `afterMs` since the last one. */
export type Happening = { afterMs: number } & (
  | { what: 'value'; limit: number; value: number }
  | { what: 'suppress' | 'release' }
  | { what: 'withdraw'; backMs: number }
  | { what: 'condition'; cause: 'condensate' | 'mains'; isActive: boolean }
  | { what: 'advice'; isActive: boolean }
  | { what: 'operate'; do: 'acknowledge' | 'unshelve' | 'reset'; alarm: string }
  | { what: 'shelve'; alarm: string; forMs: number }
)

/** Limits of both kinds, plain and latched, with and without delays; a latched and a delayed health alarm. */
export const nightStation: StationFile = stationWith({
  averaging: { blocks: ['PT1M'] },
  limits: [
    aLimit({ id: 'plain', deadband: 2, onDelaySeconds: 30, offDelaySeconds: 60 }),
    aLimit({ id: 'latched', latched: true, deadband: 1, onDelaySeconds: 20 }),
    aLimit({ id: 'low', kind: 'low', value: 48, offDelaySeconds: 30 }),
    aLimit({ id: 'block', of: 'block', average: 'PT1M', onDelaySeconds: 90 }),
  ],
  alarms: {
    condensate: { latched: true, onDelaySeconds: 15, offDelaySeconds: 45 },
    mains: { onDelaySeconds: 0, offDelaySeconds: 0 },
  },
})
export const nightAlarms = [
  'limit:plain',
  'limit:latched',
  'limit:low',
  'limit:block',
  'health:condensate:main',
  'health:mains:main',
  'advice:block',
]

const afterMs = fc.integer({ min: 0, max: 12 }).map((steps) => steps * 5000)
const alarm = fc.constantFrom(...nightAlarms)
const value = fc.record({
  afterMs,
  what: fc.constant('value' as const),
  limit: fc.integer({ min: 0, max: 3 }),
  value: fc.constantFrom(40, 47, 48, 49, 49.5, 50, 51, 60, Number.NaN),
})

export const happenings: fc.Arbitrary<Happening[]> = fc.array(
  fc.oneof(
    { weight: 8, arbitrary: value },
    { weight: 2, arbitrary: fc.record({ afterMs, what: fc.constantFrom('suppress' as const, 'release' as const) }) },
    {
      weight: 1,
      arbitrary: fc.record({
        afterMs,
        what: fc.constant('withdraw' as const),
        backMs: fc.constantFrom(0, 10_000, 60_000),
      }),
    },
    {
      weight: 3,
      arbitrary: fc.record({
        afterMs,
        what: fc.constant('condition' as const),
        cause: fc.constantFrom('condensate' as const, 'mains' as const),
        isActive: fc.boolean(),
      }),
    },
    { weight: 1, arbitrary: fc.record({ afterMs, what: fc.constant('advice' as const), isActive: fc.boolean() }) },
    {
      weight: 3,
      arbitrary: fc.record({
        afterMs,
        what: fc.constant('operate' as const),
        do: fc.constantFrom('acknowledge' as const, 'unshelve' as const, 'reset' as const),
        alarm,
      }),
    },
    {
      weight: 2,
      arbitrary: fc.record({
        afterMs,
        what: fc.constant('shelve' as const),
        alarm,
        forMs: fc.constantFrom(1, 30_000, 120_000),
      }),
    },
  ),
  { maxLength: 60 },
)

/** Lets time pass on both axes, which run on one clock here: the earliest due first. */
export function passTime(book: AlarmBook, toMs: number): void {
  for (;;) {
    const axis = book.nextDueMs('main') < book.nextDueMs(stationAxis) ? 'main' : stationAxis
    if (book.nextDueMs(axis) > toMs) return
    book.advance(axis, book.nextDueMs(axis))
  }
}

/** Plays a night from 0 ms; returns the book and the time of its end. `before` is called at each happening's time, before it. */
export function playNight(
  night: readonly Happening[],
  before: (book: AlarmBook, atMs: number) => void = passTime,
): { book: AlarmBook; atMs: number } {
  const book = createAlarmBook(nightStation)
  let atMs = 0
  for (const happening of night) {
    atMs += happening.afterMs
    before(book, atMs)
    happen(book, happening, atMs)
  }
  return { book, atMs }
}

function happen(book: AlarmBook, happening: Happening, atMs: number): void {
  switch (happening.what) {
    case 'value':
      book.limitValue(happening.limit, happening.value, atMs)
      break
    case 'suppress':
      book.suppressLimits('main', atMs)
      break
    case 'release':
      book.releaseLimits('main', atMs)
      break
    case 'withdraw':
      book.withdraw('main', atMs - happening.backMs)
      break
    case 'condition':
      book.condition(happening.cause, 'main', happening.isActive, atMs)
      break
    case 'advice':
      book.advice(3, happening.isActive, atMs, null)
      break
    case 'operate':
      book.operate({ do: happening.do, alarm: happening.alarm, note: 'seen' }, 'A. Tester', atMs)
      break
    case 'shelve':
      book.operate(
        { do: 'shelve', alarm: happening.alarm, untilMs: atMs + happening.forMs, note: 'repair' },
        'A. Tester',
        atMs,
      )
  }
}
