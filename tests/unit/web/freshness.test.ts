import { expect, test } from 'vitest'
import { freshForMs, freshness, isInTouch } from '../../../web/freshness.ts'
import { firstView, stepView, type ViewState } from '../../../web/store.ts'
import { bigState } from '../../../web/views/watch/big-state.ts'
import { snapshotAt } from '../../support/fixture-live/snapshot.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const manual = { alarms: [], logbook: [], runState: 'running' as const, silentSinceMs: null }
const opened = (): ViewState => {
  const heard = stepView(firstView(0), {
    kind: 'message',
    pageMs: 0,
    message: snapshotAt(nowMs, 1, manual, { mode: 'live', playback: null, speed: 1 }),
  })
  return stepView(heard, { kind: 'link', link: { state: 'open', sinceMs: 0, attempt: 0, retryMs: null } })
}
const streamOf = (state: ViewState) => {
  const stream = state.station?.streams[0]
  if (!stream) throw new Error('no stream')
  return stream
}

test('a stream of one line a second is stale after three missed ones, with nothing but the clock to say so', () => {
  const state = opened()
  expect(freshness(state, streamOf(state), 3000)).toMatchObject({ stale: false })
  expect(freshness(state, streamOf(state), 3500)).toEqual({ stale: true, ageMs: 3500 })
})
test('how long the figures are still true is known beforehand, to the millisecond', () => {
  const state = opened()
  const left = freshForMs(state, 1000)
  expect(left).toBeGreaterThan(0)
  expect([
    freshness(state, streamOf(state), 1000 + left - 2).stale,
    freshness(state, streamOf(state), 1000 + left).stale,
  ]).toEqual([false, true])
  // Stale already: nothing turns any more.
  expect(freshForMs(state, 1000 + left)).toBe(Number.POSITIVE_INFINITY)
})
test('what was recorded while the clock was scaled came in bunches, and is no silence when it is played back', () => {
  const played = (recordedSpeed: number): ViewState => {
    const playback = { recording: 'r', atMs: nowMs, startMs: 0, endMs: nowMs, playing: false, speed: 60, recordedSpeed }
    const snapshot = snapshotAt(nowMs, 1, manual, { mode: 'replay', playback, speed: 1 })
    const streams = snapshot.streams.map((stream) => ({ ...stream, lastLineMs: nowMs - 180_000 }))
    return stepView(firstView(0), { kind: 'message', pageMs: 0, message: { ...snapshot, streams } })
  }
  const isStale = (state: ViewState) => freshness(state, streamOf(state), 0).stale
  expect([isStale(played(1)), isStale(played(1800))]).toEqual([true, false])
})
test('a stream that never had a line has no age', () => {
  const state = opened()
  expect(freshness(state, { ...streamOf(state), lastLineMs: null }, 1)).toEqual({ stale: true, ageMs: null })
})
test('a page that has heard nothing for long is out of touch, whatever its socket says', () => {
  expect([isInTouch(opened(), 1000), isInTouch(opened(), 20_000)]).toEqual([true, false])
})
test('the big state names the phase while lines come, and what is missing when they do not', () => {
  const state = opened()
  const at = (pageMs: number) => bigState(state, streamOf(state), pageMs, nowMs + pageMs)
  expect(at(500)).toMatchObject({
    word: 'Measuring',
    since: 'for 1 min 40 s',
    next: 'purging in about 46 min, going by the cycles so far',
  })
  expect(at(5000)).toMatchObject({ word: 'No lines', since: 'last line 5 s ago', tone: 'alarm' })
  expect(at(30_000)).toMatchObject({ word: 'Out of touch', since: 'newest figures are 30 s old', tone: 'alarm' })
})
