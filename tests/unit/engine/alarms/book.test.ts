import { describe, expect, test } from 'vitest'
import { createAlarmBook, stationAxis } from '../../../../server/engine/alarms/book.ts'
import { aLimit, stationWith, told } from '../../../support/alarm-station.ts'

const delayed = [aLimit({ deadband: 2, onDelaySeconds: 30, offDelaySeconds: 20 })]

describe('limits of readings', () => {
  test('a value at the limit has not passed it', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit()] }))
    book.limitValue(0, 50, 0)
    expect(told(book)).toEqual([])
    book.limitValue(0, 50.1, 10_000)
    expect(told(book)).toEqual(['10 normal>raised'])
  })

  test('a missing value neither breaks an on-delay nor fulfils it', () => {
    const book = createAlarmBook(stationWith({ limits: delayed }))
    book.limitValue(0, 51, 0)
    book.limitValue(0, Number.NaN, 10_000)
    book.limitValue(0, 51, 20_000)
    book.advance('main', 30_000)
    expect(told(book)).toEqual(['30 normal>raised'])
  })

  test('one high reading before the stream falls silent raises no alarm', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ onDelaySeconds: 60 })] }))
    book.limitValue(0, 500, 0)
    book.advance('main', 600_000)
    expect(told(book)).toEqual([])
    book.limitValue(0, 500, 600_000)
    expect(book.nextDueMs('main')).toBe(660_000)
  })

  test('a gap breaks an on-delay that is longer than it, and the delay starts anew after it', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ onDelaySeconds: 120 })] }))
    for (const second of [0, 60, 70, 80, 90, 100, 110, 120]) book.limitValue(0, 51, second * 1000)
    expect(told(book)).toEqual([])
    expect(book.nextDueMs('main')).toBe(180_000)
  })

  test('an alarm does not return because nothing was seen', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ offDelaySeconds: 60 })] }))
    book.limitValue(0, 51, 0)
    book.limitValue(0, 40, 10_000)
    book.advance('main', 600_000)
    expect(told(book)).toEqual(['0 normal>raised'])
  })

  test('the values that decide stand beside the transition', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ priority: 'high' })] }))
    book.limitValue(0, 61, 0)
    expect(book.take()[0]).toMatchObject({
      alarm: 'limit:co',
      class: 'limit',
      cause: 'limit',
      stream: 'main',
      channel: 'co',
      priority: 'high',
      value: 61,
      limit: 50,
      unit: 'ppm',
      active: true,
      input: 'enter',
    })
  })

  test('a limit without an id is named after channel, average and place', () => {
    const book = createAlarmBook(
      stationWith({ limits: [{ channel: 'co', of: 'block', average: 'PT30M', value: 50, unit: 'ppm' }] }),
    )
    expect(book.limits.map(({ id }) => id)).toEqual(['limit:co-PT30M-0'])
  })
})

describe('suppression by design (AL-8)', () => {
  test('a quiet purge leaves no trace, and the on-delay starts anew after it', () => {
    const book = createAlarmBook(stationWith({ limits: delayed }))
    book.limitValue(0, 51, 0)
    book.suppressLimits('main', 20_000)
    book.limitValue(0, 400, 25_000)
    book.releaseLimits('main', 60_000)
    expect(book.nextDueMs('main')).toBe(Number.POSITIVE_INFINITY)
    book.limitValue(0, 51, 60_000)
    expect(book.nextDueMs('main')).toBe(90_000)
    expect(told(book)).toEqual([])
  })

  test('an acknowledged alarm is kept aside through a purge and not announced again', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit()] }))
    book.limitValue(0, 51, 0)
    book.operate({ do: 'acknowledge', alarm: 'limit:co', note: 'burner told' }, 'A. Tester', 5_000)
    book.suppressLimits('main', 10_000)
    book.limitValue(0, 0, 20_000)
    book.releaseLimits('main', 30_000)
    book.limitValue(0, 52, 40_000)
    expect(told(book)).toEqual([
      '0 normal>raised',
      '5 raised>acknowledged',
      '10 acknowledged>suppressed',
      '30 suppressed>acknowledged',
    ])
  })

  test('what stood before a purge and has gone after it returns by the first value', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit()] }))
    book.limitValue(0, 51, 0)
    book.suppressLimits('main', 10_000)
    book.releaseLimits('main', 30_000)
    book.limitValue(0, 20, 40_000)
    expect(told(book).slice(1)).toEqual(['10 raised>suppressed', '30 suppressed>raised', '40 raised>returned'])
  })

  test('an alarm that returned unseen can be acknowledged during a purge', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit()] }))
    book.limitValue(0, 51, 0)
    book.limitValue(0, 20, 10_000)
    book.suppressLimits('main', 20_000)
    book.operate({ do: 'acknowledge', alarm: 'limit:co', note: 'seen' }, 'A. Tester', 25_000)
    book.releaseLimits('main', 30_000)
    expect(told(book).slice(2)).toEqual(['20 returned>suppressed', '25 suppressed>normal'])
  })

  test('limits of means and health alarms are not suppressed', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ of: 'block', average: 'PT1M' })] }))
    book.suppressLimits('main', 0)
    book.limitValue(0, 51, 10_000)
    book.condition('condensate', 'main', true, 20_000)
    expect(book.take().map(({ alarm }) => alarm)).toEqual(['limit:co', 'health:condensate:main'])
  })

  test('a back-dated phase takes back the delays that its readings began', () => {
    const book = createAlarmBook(stationWith({ limits: delayed }))
    book.limitValue(0, 51, 20_000)
    book.withdraw('main', 10_000)
    book.advance('main', 60_000)
    expect(told(book)).toEqual([])
  })

  test('a back-dated phase leaves delays that began before it', () => {
    const book = createAlarmBook(stationWith({ limits: delayed }))
    book.limitValue(0, 51, 0)
    book.withdraw('main', 10_000)
    expect(book.nextDueMs('main')).toBe(30_000)
  })
})

describe('health', () => {
  test('a fault is told again only when it has changed', () => {
    const book = createAlarmBook(stationWith())
    for (let second = 0; second < 5; second += 1) book.condition('condensate', 'main', true, second * 1000)
    expect(told(book)).toEqual(['0 normal>raised'])
  })

  test('what has never stood needs no alarm to say so', () => {
    const book = createAlarmBook(stationWith())
    book.condition('battery', 'main', false, 0)
    expect(book.take()).toBe(book.take())
    expect(book.standing()).toEqual([])
  })

  test('a cause that is switched off is never raised, and is listed', () => {
    const book = createAlarmBook(stationWith({ alarms: { filter: { off: true } } }))
    book.condition('filter', 'main', true, 0)
    expect(book.nextDueMs(stationAxis)).toBe(Number.POSITIVE_INFINITY)
    expect(book.silenced()).toEqual(['filter'])
    expect(
      book.operate({ do: 'shelve', alarm: 'health:filter:main', untilMs: 60_000, note: 'x' }, 'A. Tester', 0),
    ).toMatchObject({ ok: false, error: expect.stringContaining('switched off') })
  })

  test('the station file decides on priority, delays and latch', () => {
    const book = createAlarmBook(
      stationWith({
        alarms: { condensate: { priority: 'low', onDelaySeconds: 4, offDelaySeconds: 0, latched: true } },
      }),
    )
    book.condition('condensate', 'main', true, 0)
    book.condition('condensate', 'main', false, 9_000)
    expect(book.take().map(({ atMs, to, priority }) => [atMs, to, priority])).toEqual([
      [4_000, 'raised', 'low'],
      [9_000, 'latched-raised', 'low'],
    ])
  })

  test('advice comes and goes by itself, is low and is no limit alarm', () => {
    const book = createAlarmBook(stationWith({ limits: [aLimit({ of: 'block', average: 'PT30M', priority: 'high' })] }))
    book.advice(0, true, 0, 58)
    book.advice(0, false, 60_000, 40)
    expect(
      book.take().map(({ alarm, class: kind, priority, to, value }) => [alarm, kind, priority, to, value]),
    ).toEqual([
      ['advice:co', 'advice', 'low', 'raised', 58],
      ['advice:co', 'advice', 'low', 'normal', 40],
    ])
  })
})
