import { describe, expect, test } from 'vitest'
import type { IncrementMessage, LiveMessage } from '../../../protocols/live/messages.ts'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { firstView, keptEntries, keptRows, stepView, type ViewState } from '../../../web/store.ts'
import { rowsOfBlock } from '../../support/fixture-live/averages.ts'
import { logbookUpTo } from '../../support/fixture-live/happenings.ts'
import { readingAt, snapshotAt, streamAt } from '../../support/fixture-live/snapshot.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const manual = { alarms: [], logbook: logbookUpTo(nowMs), runState: 'running' as const, silentSinceMs: null }
const aSnapshot = (sequence = 10) => snapshotAt(nowMs, sequence, manual, { mode: 'live', playback: null, speed: 1 })
const told = (state: ViewState, ...messages: LiveMessage[]) =>
  messages.reduce((before, message) => stepView(before, { kind: 'message', message, pageMs: 5000 }), state)
const opened = () => told(firstView(0), aSnapshot())
const aReading = (sequence: number, atMs = nowMs + 1000): IncrementMessage => {
  const reading = readingAt(atMs)
  if (!reading) throw new Error('no line at this time')
  return { type: 'reading', sequence, reading, lines: 7 }
}

describe('numbers of messages', () => {
  test('messages in order leave no hole', () => {
    expect(told(opened(), aReading(11), aReading(12, nowMs + 2000))).toMatchObject({ sequence: 12, hole: false })
  })
  test('a skipped number is a hole until a snapshot comes; what came after it is shown all the same', () => {
    const holed = told(opened(), aReading(14, nowMs + 4000))
    expect(holed).toMatchObject({ sequence: 14, hole: true })
    expect(holed.station?.readings[0]?.atMs).toBe(nowMs + 4000)
    expect(told(holed, aSnapshot(20))).toMatchObject({ sequence: 20, hole: false })
  })
  test('a message that is older than the snapshot changes nothing', () => {
    const before = opened()
    expect(told(before, aReading(10, nowMs + 9000)).station).toBe(before.station)
  })
  test('an increment before any snapshot is not shown', () => {
    expect(told(firstView(0), aReading(1)).station).toBeNull()
  })
})

test('a snapshot and merged messages tell the trends to ask anew', () => {
  const before = opened()
  expect(told(before, aSnapshot(30)).trendBreaks).toBe(before.trendBreaks + 1)
  expect(told(before, { type: 'merged', sequence: 11, skipped: 40 }).trendBreaks).toBe(before.trendBreaks + 1)
})

test('a reading makes its stream fresh by the time at which it came, not by its own', () => {
  const message = aReading(11, nowMs - 7_200_000)
  if (message.type !== 'reading') throw new Error('not a reading')
  const state = told(opened(), { ...message, reading: { ...message.reading, arrivedMs: nowMs + 900 } })
  expect(state.station?.streams[0]?.lastLineMs).toBe(nowMs + 900)
})

test('a stream’s new state replaces the old one', () => {
  const silent = { ...streamAt(nowMs, manual), link: 'silent' as const }
  expect(told(opened(), { type: 'stream', sequence: 11, stream: silent }).station?.streams).toEqual([silent])
})

test('a later row of the same average replaces the earlier one', () => {
  const [row] = rowsOfBlock('PT1M' as IsoDuration, nowMs - 60_000 - (nowMs % 60_000), nowMs)
  if (!row) throw new Error('no row')
  const before = opened().station?.recentBlocks.length ?? 0
  const twice = told(
    opened(),
    { type: 'block', sequence: 11, row: { ...row, state: 'provisional' } },
    { type: 'block', sequence: 12, row: { ...row, state: 'final' } },
  )
  expect(twice.station?.recentBlocks.length).toBe(before + 1)
  expect(twice.station?.recentBlocks.at(-1)?.state).toBe('final')
})

test('rows are bounded, and many of one minute push none of half an hour out', () => {
  const [row] = rowsOfBlock('PT1M' as IsoDuration, nowMs - 60_000 - (nowMs % 60_000), nowMs)
  if (!row) throw new Error('no row')
  const halfHours = opened().station?.recentBlocks.length ?? 0
  const many = Array.from(
    { length: keptRows + 50 },
    (_, index): LiveMessage => ({
      type: 'block',
      sequence: 11 + index,
      row: { ...row, startMs: row.startMs + index * 60_000 },
    }),
  )
  const lengths = told(opened(), ...many).station?.recentBlocks.map(({ average }) => average)
  expect(lengths?.filter((average) => average === 'PT1M').length).toBe(keptRows)
  expect(lengths?.filter((average) => average === 'PT30M').length).toBe(halfHours)
})

test('the logbook in the page is bounded and keeps the newest', () => {
  const many = Array.from(
    { length: 3 * keptEntries },
    (_, index): LiveMessage => ({
      type: 'logbook',
      sequence: 11 + index,
      entry: {
        id: `x${index}`,
        atMs: nowMs + index,
        kind: 'note',
        stream: null,
        text: 'x',
        by: null,
        savedMs: null,
        severity: 'plain',
      },
    }),
  )
  const { station } = told(opened(), ...many)
  const kept = station?.logbook ?? []
  expect(kept.length).toBeGreaterThanOrEqual(keptEntries)
  expect(kept.length).toBeLessThanOrEqual(1.5 * keptEntries)
  // The newest, one after the other, none left out.
  expect(kept.map(({ id }) => id)).toEqual(kept.map((_, n) => `x${3 * keptEntries - kept.length + n}`))
})

test('a server of another version, or of a later protocol, asks for a reload', () => {
  expect(told(opened(), { ...aSnapshot(40), version: '0.2.0' }).newVersion).toBe('0.2.0')
  expect(told(firstView(0), { ...aSnapshot(), protocol: 2 }).unreadable).toBe('protocol 2')
  expect(stepView(opened(), { kind: 'unreadable', detail: 'type: unknown', pageMs: 1 })).toMatchObject({
    unreadable: 'type: unknown',
    sequence: 10,
  })
})

test('playback has the recording’s time, which stands still while it is paused', () => {
  const playback = {
    recording: 'r',
    atMs: 5_000_000,
    startMs: 0,
    endMs: 9_000_000,
    playing: true,
    speed: 60,
    recordedSpeed: 1,
  }
  const replay = told(firstView(0), snapshotAt(nowMs, 1, manual, { mode: 'replay', playback, speed: 1 }))
  expect(replay.clock).toEqual({ stationMs: 5_000_000, pageMs: 5000, speed: 60 })
  expect(told(replay, { type: 'playback', sequence: 2, playback: { ...playback, playing: false } }).clock?.speed).toBe(
    0,
  )
})
