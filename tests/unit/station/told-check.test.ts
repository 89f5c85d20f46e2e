import { expect, test } from 'vitest'
import { actionRequest } from '../../../protocols/live/requests.ts'
import { toldCheck } from '../../../server/station/told-check.ts'
import { aChannel, aStation, aSum } from '../../support/a-station.ts'

const station = aStation([
  aChannel('no', { species: 'NO' }),
  aChannel('no2', { species: 'NO2' }),
  aSum('nox', ['no', 'no2'], { species: 'NOx' }),
])
const nowMs = Date.UTC(2026, 0, 15, 10)
const told = (more: object = {}, isStandby = false) => {
  const request = actionRequest.parse({
    do: 'check',
    by: 'A. Tester',
    kind: 'span',
    channel: 'no',
    expected: 90,
    response: 88.6,
    gas: 'invented cylinder 7',
    ...more,
  })
  if (request.do !== 'check') throw new Error('it is a check')
  return toldCheck(station, request, nowMs, isStandby, nowMs)
}

test('a check belongs to the run that is on, and may have been made before it', () => {
  expect(told({ performedMs: nowMs - 3_600_000, direct: 89.8 })).toEqual({
    ok: true,
    check: {
      id: `check-${nowMs}-span-no`,
      kind: 'span',
      channel: 'no',
      performedMs: nowMs - 3_600_000,
      expected: 90,
      response: 88.6,
      direct: 89.8,
      gas: 'invented cylinder 7',
    },
  })
  expect(told()).toMatchObject({ ok: true, check: { performedMs: nowMs, direct: null } })
})
test.each([
  ['of a channel that is not there', { channel: 'co' }, 404],
  ['of a sum', { channel: 'nox' }, 400],
  ['with a span gas that holds nothing', { expected: 0 }, 400],
  ['that is yet to be made', { performedMs: nowMs + 1 }, 400],
])('a check %s is refused', (_, more, status) => {
  expect(told(more)).toMatchObject({ ok: false, status })
})
test('a check while no run is on is refused, with the way out', () => {
  expect(told({}, true)).toMatchObject({
    ok: false,
    status: 409,
    errors: [expect.stringContaining('tell it of its recording')],
  })
})
test('a check without its gas or its name is no request', () => {
  const bare = { do: 'check', by: '', kind: 'zero', channel: 'no', expected: 0, response: 0.4, gas: '' }
  expect(actionRequest.safeParse(bare).error?.issues.map(({ path }) => path.join('.'))).toEqual(['by', 'gas'])
})

test('a check is told of a time that there is: text and tables could not write another, and it would stay', () => {
  for (const performedMs of [-1e300, -1, 1.5])
    expect(told({ performedMs })).toMatchObject({
      ok: false,
      status: 400,
      errors: ['performedMs: must be whole milliseconds since 1970 UTC, not before'],
    })
})
