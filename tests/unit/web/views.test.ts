import { describe, expect, test } from 'vitest'
import type { AlarmStanding } from '../../../protocols/live/messages.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { retryDelay } from '../../../web/connection.ts'
import { axisRange, countedExtremes } from '../../../web/parts/trend-scale.ts'
import { readRoute, routeHash } from '../../../web/route.ts'
import { inOrder, needsHand } from '../../../web/shell/alarm-order.ts'
import { seriesValue } from '../../../web/trend-feed.ts'
import { rowsShown } from '../../../web/views/averages/row-filter.ts'
import { verdictWords } from '../../../web/views/averages/row-verdict.ts'
import { chosen, panned, usualWindow, windowAt, zoomed } from '../../../web/window.ts'
import { endedRows } from '../../support/fixture-live/averages.ts'
import { adviceAlarm, condensateAlarm, limitAlarm } from '../../support/fixture-live/happenings.ts'
import { channels, limits } from '../../support/fixture-live/scenario.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const minute = 60_000

describe('the address', () => {
  test.each([
    '#/watch',
    '#/averages',
    '#/watch?window=run',
    '#/watch?replay=night&from=1000&to=90000',
    '#/logbook?span=600000',
    '#/averages?length=PT1H&channel=%2Bsupporting&value=all&validity=invalid',
    '#/watch?values=asRead&beside=o2',
    '#/logbook?entries=alarm',
  ])('%s says the same after it was read', (hash) => {
    expect(routeHash(readRoute(hash))).toBe(hash)
  })
  test('an address of nonsense is the live watch', () => {
    const nonsense = '#/nothing?from=9&to=3&span=-1&value=most&validity=perhaps&values=true&entries=gossip'
    expect(readRoute(nonsense)).toEqual({
      view: 'watch',
      replay: null,
      window: usualWindow,
      far: false,
      rows: { average: '', channel: '', quantity: 'most-referred', only: 'all' },
      trendValue: 'limits',
      beside: '',
      entries: 'all',
    })
  })
})

describe('what the trends show', () => {
  const shown = { fromMs: nowMs - 60 * minute, toMs: nowMs }
  test('zooming keeps the instant under the pointer where it is', () => {
    expect(zoomed(shown, nowMs - 15 * minute, 0.5)).toEqual({
      kind: 'fixed',
      fromMs: nowMs - 37.5 * minute,
      toMs: nowMs - 7.5 * minute,
    })
  })
  test('panning never leaves the run behind', () => {
    expect(panned(shown, 5, nowMs)).toEqual({ kind: 'fixed', fromMs: nowMs - 15 * minute, toMs: nowMs + 45 * minute })
  })
  test('a stretch too short to hold a line is widened', () => {
    expect(chosen(nowMs, nowMs + 1000)).toEqual({ kind: 'fixed', fromMs: nowMs - 29_500, toMs: nowMs + 30_500 })
  })
  test('the whole run goes from its start to now', () => {
    expect(windowAt({ kind: 'run' }, nowMs - 100 * minute, nowMs)).toEqual({
      fromMs: nowMs - 100 * minute,
      toMs: nowMs + minute,
    })
  })
  test('values are as the limits are set: referred where a limit is, or where there is none and the channel can be', () => {
    const referred = { unit: 'mg/m3' as const, referenceOxygen: 3, decimals: 0 }
    const asRead = { limits: limits.map((limit) => ({ ...limit, quantity: 'as_read' as const })) }
    expect([
      seriesValue({ limits }, { id: 'nox', referred }, 'limits'),
      seriesValue({ limits }, { id: 'so2', referred }, 'limits'),
      seriesValue(asRead, { id: 'nox', referred }, 'limits'),
      seriesValue({ limits }, { id: 'o2', referred: null }, 'limits'),
      seriesValue({ limits }, { id: 'nox', referred }, 'asRead'),
    ]).toEqual(['referred', 'referred', 'corrected', 'corrected', 'asRead'])
  })
})

describe('the scale of a trend', () => {
  test('keeps a near limit in view, and leaves a far one out', () => {
    const wish = { fromZero: true, leastSpan: 1 }
    expect(axisRange(80, 150, { ...wish, limits: [200] })[1]).toBeGreaterThan(200)
    expect(axisRange(2, 5, { ...wish, limits: [200] })[1]).toBeLessThan(10)
  })
  test('has room for noise below zero', () => {
    expect(axisRange(-0.4, 5, { fromZero: true, leastSpan: 1, limits: [] })[0]).toBeLessThan(-0.4)
  })
  test('is plain where nothing was read', () => {
    expect(axisRange(null, null, { fromZero: true, leastSpan: 1, limits: [] })).toEqual([0, 1.15])
    expect(
      axisRange(Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, { fromZero: true, leastSpan: 1, limits: [] }),
    ).toEqual([0, 1.15])
  })
  test('is laid by what counts: a purge does not squeeze the oxygen', () => {
    const picture = { x: [0, 1, 2, 3], y: [4, 20.9, 20.9, 4.2] }
    expect(countedExtremes(picture, [{ startMs: 1000, endMs: 2500 }], 0)).toEqual([4, 4.2])
    expect(countedExtremes(picture, [{ startMs: 0, endMs: 9000 }], 0)).toBeNull()
  })
})

describe('alarms', () => {
  test('what asks for a hand comes first, and advice never asks', () => {
    const acknowledged: AlarmStanding = {
      ...condensateAlarm(nowMs),
      alarm: 'health:filter:main',
      state: 'acknowledged',
    }
    const all = [adviceAlarm(nowMs), acknowledged, limitAlarm(nowMs), condensateAlarm(nowMs)]
    expect(inOrder(all).map((alarm) => alarm.alarm)).toEqual([
      'health:condensate:main',
      'limit:nox-30m',
      'health:filter:main',
      'advice:co-30m',
    ])
    expect(needsHand(adviceAlarm(nowMs))).toBe(false)
  })
  test('shelved and suppressed ones are not in the banner', () => {
    expect(
      inOrder([
        { ...condensateAlarm(nowMs), state: 'shelved' },
        { ...limitAlarm(nowMs), state: 'suppressed' },
      ]),
    ).toEqual([])
  })
})

test('tries to get back double their wait to fifteen seconds, with a share of chance', () => {
  expect([1, 2, 3, 9].map((attempt) => retryDelay(attempt, 1))).toEqual([500, 1000, 2000, 15_000])
  expect(retryDelay(9, 0)).toBe(7500)
})

test('averages show the most referred value of each channel, newest first', () => {
  const rows = endedRows('PT30M' as IsoDuration, nowMs - 90 * minute, nowMs, nowMs)
  const shown = rowsShown(rows, { average: '', channel: '', quantity: 'most-referred', only: 'all' }, channels)
  expect(new Set(shown.map((row) => `${row.channel} ${row.quantity}`))).toEqual(
    new Set([
      'o2 as_read',
      'nox at_reference_oxygen',
      'co at_reference_oxygen',
      'so2 at_reference_oxygen',
      'co2 as_read',
      'gas-temperature as_read',
    ]),
  )
  expect(shown[0]?.startMs).toBeGreaterThan(shown.at(-1)?.startMs ?? 0)
})

describe('a verdict in words', () => {
  const named = 'its limit of 100'
  test.each([
    [
      { verdict: 'below', complies: true },
      'subtract',
      true,
      'below its limit of 100: complies',
      'uncertainty subtracted',
    ],
    [
      { verdict: 'undecided', complies: true },
      'subtract',
      true,
      'within its uncertainty of its limit of 100: complies',
      'uncertainty subtracted',
    ],
    [
      { verdict: 'undecided', complies: false },
      'add',
      true,
      'within its uncertainty of its limit of 100: does not comply',
      'uncertainty added',
    ],
    [
      { verdict: 'above', complies: false },
      'ignore',
      false,
      'above its limit of 100: does not comply',
      'uncertainty not regarded',
    ],
    [
      { verdict: 'undecided', complies: true },
      'subtract',
      false,
      'complies with its limit of 100, whatever its uncertainty',
      null,
    ],
    [
      { verdict: 'undecided', complies: null },
      'add',
      false,
      'not decided against its limit of 100: its uncertainty is not known',
      null,
    ],
  ] as const)('%o, the uncertainty to %s and known: %s', (decided, use, isUncertaintyKnown, said, rule) => {
    const verdict = { limit: 'nox', result: 99, ...decided }
    expect(verdictWords({ verdict, named, isUncertaintyKnown, use })).toEqual({ said, rule })
  })
})
