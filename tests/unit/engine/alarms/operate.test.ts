import { describe, expect, test } from 'vitest'
import { type AlarmBook, createAlarmBook, stationAxis } from '../../../../server/engine/alarms/book.ts'
import { aLimit, stateOf, stationWith, told } from '../../../support/alarm-station.ts'

const hour = 3_600_000
const alarm = 'limit:co'

function raised(latched = false): AlarmBook {
  const book = createAlarmBook(stationWith({ limits: [aLimit({ latched })] }))
  book.limitValue(0, 51, 0)
  book.take()
  return book
}

describe('acknowledging', () => {
  test('takes a name and a note', () => {
    const book = raised()
    expect(book.operate({ do: 'acknowledge', alarm, note: 'seen' }, ' ', 1000)).toMatchObject({
      ok: false,
      error: expect.stringContaining('name'),
    })
    expect(book.operate({ do: 'acknowledge', alarm, note: ' ' }, 'A. Tester', 1000)).toMatchObject({
      ok: false,
      error: expect.stringContaining('note'),
    })
    expect(told(book)).toEqual([])
  })

  test('keeps who and why, and does not clear the condition (AL-4)', () => {
    const book = raised()
    book.operate({ do: 'acknowledge', alarm, note: 'burner told' }, 'A. Tester', 1000)
    expect(book.standing()).toMatchObject([
      {
        alarm,
        state: 'acknowledged',
        active: true,
        by: 'A. Tester',
        note: 'burner told',
        raisedMs: 0,
        sinceMs: 1000,
        count: 1,
      },
    ])
  })

  test('of what is normal or acknowledged is refused in words', () => {
    const book = raised()
    const acknowledge = () => book.operate({ do: 'acknowledge', alarm, note: 'seen' }, 'A. Tester', 1000)
    acknowledge()
    expect(acknowledge()).toMatchObject({ ok: false, error: expect.stringContaining('already') })
    expect(book.operate({ do: 'acknowledge', alarm: 'limit:none', note: 'seen' }, 'A. Tester', 1000)).toMatchObject({
      ok: false,
      error: expect.stringContaining('no alarm'),
    })
  })

  test('a new occurrence forgets the old acknowledgement', () => {
    const book = raised()
    book.operate({ do: 'acknowledge', alarm, note: 'seen' }, 'A. Tester', 1000)
    book.limitValue(0, 20, 10_000)
    book.limitValue(0, 60, 20_000)
    expect(book.standing()).toMatchObject([{ state: 'raised', by: null, note: null, count: 2 }])
  })
})

describe('shelving', () => {
  test('asks for a reason and lasts for a day at most', () => {
    const book = raised()
    expect(book.operate({ do: 'shelve', alarm, untilMs: hour, note: '' }, 'A. Tester', 0)).toMatchObject({
      ok: false,
      error: expect.stringContaining('reason'),
    })
    expect(book.operate({ do: 'shelve', alarm, untilMs: 24 * hour + 1, note: 'repair' }, 'A. Tester', 0)).toMatchObject(
      { ok: false, error: expect.stringContaining('24 hours') },
    )
    expect(book.operate({ do: 'shelve', alarm, untilMs: 0, note: 'repair' }, 'A. Tester', 0)).toMatchObject({
      ok: false,
    })
    expect(book.operate({ do: 'shelve', alarm, untilMs: 24 * hour, note: 'repair' }, 'A. Tester', 0)).toEqual({
      ok: true,
    })
  })

  test('ends by itself, and what stands then is raised anew', () => {
    const book = raised()
    book.operate({ do: 'acknowledge', alarm, note: 'seen' }, 'A. Tester', 1000)
    book.operate({ do: 'shelve', alarm, untilMs: hour, note: 'repair' }, 'A. Tester', 2000)
    book.advance(stationAxis, 2 * hour)
    expect(told(book)).toEqual(['1 raised>acknowledged', '2 acknowledged>shelved', '3600 shelved>raised'])
    expect(book.standing()).toMatchObject([{ by: null, untilMs: null }])
  })

  test('what went under the shelf leaves nothing to do, and its going is written down', () => {
    const book = raised()
    book.operate({ do: 'shelve', alarm, untilMs: hour, note: 'repair' }, 'A. Tester', 2000)
    book.limitValue(0, 20, 10_000)
    book.advance(stationAxis, hour)
    expect(book.take().map(({ atMs, to, active, input }) => [atMs, to, active, input])).toEqual([
      [2000, 'shelved', true, 'shelve'],
      [10_000, 'shelved', false, 'leave'],
      [hour, 'normal', false, 'shelf-expired'],
    ])
  })

  test('does not undo a latch', () => {
    const book = raised(true)
    book.operate({ do: 'shelve', alarm, untilMs: hour, note: 'repair' }, 'A. Tester', 2000)
    book.limitValue(0, 20, 10_000)
    book.operate({ do: 'unshelve', alarm, note: '' }, 'A. Tester', 20_000)
    expect(stateOf(book, alarm)).toBe('latched-raised')
    expect(book.nextDueMs(stationAxis)).toBe(Number.POSITIVE_INFINITY)
  })

  test('of a health alarm is possible before it ever stood', () => {
    const book = createAlarmBook(stationWith())
    expect(
      book.operate(
        { do: 'shelve', alarm: 'health:condensate:main', untilMs: hour, note: 'emptying the trap' },
        'A. Tester',
        0,
      ),
    ).toEqual({ ok: true })
    book.condition('condensate', 'main', true, 1000)
    expect(stateOf(book, 'health:condensate:main')).toBe('shelved')
  })

  test('during a purge ends in suppression, not in an announcement', () => {
    const book = raised()
    book.operate({ do: 'shelve', alarm, untilMs: hour, note: 'repair' }, 'A. Tester', 2000)
    book.suppressLimits('main', hour - 1000)
    book.advance(stationAxis, hour)
    expect(told(book).at(-1)).toBe('3600 shelved>suppressed')
  })
})

describe('a latched alarm', () => {
  test('stays until it was acknowledged, has gone, and is reset', () => {
    const book = raised(true)
    const reset = () => book.operate({ do: 'reset', alarm, note: '' }, 'A. Tester', 30_000)
    expect(reset()).toMatchObject({ ok: false, error: expect.stringContaining('still stands') })
    book.limitValue(0, 20, 10_000)
    expect(reset()).toMatchObject({ ok: false, error: expect.stringContaining('acknowledge it first') })
    book.operate({ do: 'acknowledge', alarm, note: 'seen' }, 'A. Tester', 20_000)
    expect(reset()).toEqual({ ok: true })
    expect(told(book)).toEqual([
      '10 raised>latched-raised',
      '20 latched-raised>latched-acknowledged',
      '30 latched-acknowledged>normal',
    ])
  })
})
