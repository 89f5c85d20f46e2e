import { describe, expect, test } from 'vitest'
import type { Outlook, SnapshotMessage } from '../../../protocols/live/messages.ts'
import { firstView, stepView } from '../../../web/store.ts'
import { glanceLines } from '../../../web/views/watch/glance.ts'
import { condensateAlarm } from '../../support/fixture-live/happenings.ts'
import { type Manual, snapshotAt } from '../../support/fixture-live/snapshot.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const manual: Manual = { alarms: [], logbook: [], runState: 'running', silentSinceMs: null }
const pageMs = 1000

const stateOf = (more: Partial<SnapshotMessage> = {}) => {
  const snapshot = { ...snapshotAt(nowMs, 1, manual, { mode: 'live', playback: null, speed: 1 }), ...more }
  const linked = stepView(firstView(0), {
    kind: 'link',
    link: { state: 'open', sinceMs: 0, attempt: 0, retryMs: null },
  })
  return stepView(linked, { kind: 'message', message: snapshot, pageMs })
}
const said = (more: Partial<SnapshotMessage> = {}) =>
  glanceLines(stateOf(more), 'PT30M', pageMs, null).map(({ brief }) => brief)
const outlook = (more: Partial<Outlook>): Outlook[] => {
  const [first] = stateOf().station?.outlooks.filter(({ channel }) => channel === 'nox') ?? []
  if (!first) throw new Error('the invented night has no outlook of NOx')
  return [{ ...first, ...more }]
}

describe('at a glance', () => {
  test('a calm night: nothing needs a hand, and what is safe stands with its second', () => {
    expect(said()).toEqual(expect.arrayContaining(['Nothing needs a hand', 'Stored up to 04:17:39']))
  })
  test('alarms that nobody has seen are counted', () => {
    expect(
      said({ alarms: [condensateAlarm(nowMs), { ...condensateAlarm(nowMs), alarm: 'x', state: 'acknowledged' }] })[0],
    ).toBe('1 alarm needs a hand')
  })
  test('what is over but unseen asks for a hand without the colour of an alarm that stands', () => {
    const over = { ...condensateAlarm(nowMs), state: 'returned', active: false } as const
    const tones = [over, condensateAlarm(nowMs)].map(
      (alarm) => glanceLines(stateOf({ alarms: [alarm] }), 'PT30M', pageMs, null)[0]?.tone,
    )
    expect(tones).toEqual(['caution', 'alarm'])
  })
  test.each([
    [
      { heading: 'above', reachesLimitMs: Date.parse('2026-11-25T03:27:00Z') },
      'NOₓ heading above 200 mg/m³, from 04:27',
    ],
    [{ heading: 'below', reachesLimitMs: null }, 'NOₓ stays below 200 mg/m³'],
    [{ heading: 'undecided', reachesLimitMs: null }, 'NOₓ may pass 200 mg/m³'],
    [{ heading: 'cannot-tell', likelyLow: null, likelyHigh: null, reachesLimitMs: null }, 'NOₓ: too early to say'],
  ] as const)('a running block %j is told as “%s”', (more, words) => {
    expect(said({ outlooks: outlook(more) })).toContain(words)
  })
  test('what heads above its limit is told before what stays below', () => {
    const [nox] = outlook({ heading: 'below' })
    const [co] = outlook({ heading: 'above', limit: 'co-30m', channel: 'co', reachesLimitMs: null })
    expect(said({ outlooks: [nox, co].filter((one) => one !== undefined) })[2]).toMatch(/^CO heading above/)
  })
  test('a recording that has stopped is said in capitals, with its reason', () => {
    const recording = {
      state: 'stopped',
      storedUpToMs: nowMs,
      waiting: 9,
      bytes: 1,
      detail: 'the disk is full',
      hoursLeft: 0,
    } as const
    const last = glanceLines(stateOf({ recording }), 'PT30M', pageMs, null)[1]
    expect(last).toMatchObject({ brief: 'NOT RECORDING', more: 'the disk is full', tone: 'alarm' })
  })
  test('a page that hears nothing claims nothing about alarms, and calls what is stored the last that it heard', () => {
    const lines = glanceLines(stateOf(), 'PT30M', pageMs + 60_000, nowMs).map(({ brief }) => brief)
    expect(lines).toEqual(['Alarms not known', 'Last heard: stored up to 04:17:39', 'Running block: not known now'])
  })
})
