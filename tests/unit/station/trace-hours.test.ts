import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, expect, test } from 'vitest'
import type { SeriesQuery } from '../../../server/http/station-face.ts'
import type { TraceMinute } from '../../../server/recording/recording.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { SeriesColumns } from '../../../server/station/series.ts'
import { StoredRuns } from '../../../server/station/stored-runs.ts'
import { TraceHours } from '../../../server/station/trace-hours.ts'
import { aHeader } from '../../support/recording-content.ts'

// Charts of days are drawn from a few cells of each hour instead of every minute. What they show is held against columns
// formed of every minute, as charts of hours are. Our own rule, said in docs/recording-format.md; no source.

const minuteMs = 60_000
const hourMs = 60 * minuteMs
const startMs = Date.UTC(2026, 0, 15)
const days = 3
const folder = mkdtempSync(join(tmpdir(), 'flueledger-hours-'))
const path = join(folder, 'days.flue.sqlite')

/** Two readings a minute, invented; nothing at all in the fifth hour, no carbon monoxide in the seventh, one peak a day. */
const minutes: TraceMinute[] = Array.from({ length: days * 24 * 60 }, (_, number): TraceMinute => {
  const hour = Math.floor(number / 60) % 24
  const co = hour === 6 ? Number.NaN : number % 1440 === 777 ? 4000 : 50 + 20 * Math.sin(number / 97)
  const values = (value: number) => Float32Array.of(value, value + 1)
  return {
    stream: 'main',
    minuteMs: startMs + number * minuteMs,
    offsetsMs: Float64Array.of(0, 30_000),
    channels: ['o2', 'co'].map((channel) => {
      const value = values(channel === 'co' ? co : 5 + Math.cos(number / 31))
      return { channel, asRead: value, corrected: value.map((each) => each - 2), referred: value.map(() => Number.NaN) }
    }),
  }
}).filter((minute) => Math.floor((minute.minuteMs - startMs) / hourMs) % 24 !== 4)

const query = (more: Partial<SeriesQuery> = {}): SeriesQuery => ({
  channels: ['o2', 'co'],
  value: 'corrected',
  fromMs: startMs,
  toMs: startMs + days * 24 * hourMs,
  columns: days * 24,
  ...more,
})
const ofMinutes = (asked: SeriesQuery) => {
  const columns = new SeriesColumns(asked)
  for (const { minuteMs, offsetsMs, channels } of minutes)
    for (const { channel, [asked.value]: values } of channels) columns.take({ minuteMs, offsetsMs, channel, values })
  return columns.answer()
}
const stored = (asked: SeriesQuery) => new StoredRuns(folder).series(path, asked, [])
const change = (sql: string) => {
  const db = new Database(path)
  db.exec(sql)
  db.close()
}

beforeAll(async () => {
  const writer = await createRecording(path, aHeader({ settings: '{"streams":[{"id":"main"}]}' }))
  const hours = new TraceHours()
  for (const minute of minutes) {
    writer.derive([{ table: 'trace', row: minute }])
    writer.derive(hours.take(minute).map((row) => ({ table: 'trace-hour', row })))
  }
  await writer.close()
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('columns of whole hours hold the extremes and the last value of every minute in them, and gaps stay gaps', () => {
  for (const value of ['asRead', 'corrected', 'referred'] as const)
    expect(stored(query({ value }))).toEqual(ofMinutes(query({ value })))
})

test('no peak is thinned away, and none stands further off than half a column', () => {
  const asked = query({ fromMs: startMs + 17 * minuteMs, columns: 217 })
  const answer = stored(asked)
  const peaks = (answer.channels.co?.high ?? []).flatMap((high, at) => (high === 3999 ? [answer.atMs[at] ?? 0] : []))
  const truth = [0, 1, 2].map((day) => startMs + (day * 1440 + 777) * minuteMs)
  expect(peaks.length).toBe(3)
  for (const [day, at] of peaks.entries()) {
    const middle = at + answer.columnMs / 2
    expect(Math.abs(middle - (truth[day] ?? 0))).toBeLessThanOrEqual(answer.columnMs)
  }
})

test('a chart of hours is drawn from the readings themselves', () => {
  const asked = query({ toMs: startMs + 4 * hourMs, columns: 240 })
  expect(stored(asked)).toEqual(ofMinutes(asked))
})

test('a chart of days reads no minute of an hour that is over', () => {
  const before = stored(query())
  change(`DELETE FROM trace_minute WHERE minute_ms < ${startMs + (days * 24 - 1) * hourMs}`)
  expect(stored(query())).toEqual(before)
})

test('a recording made before hours were kept shows the minutes that it has', () => {
  change('DROP TABLE trace_hour')
  const lastHour = query({ fromMs: startMs + (days * 24 - 1) * hourMs, columns: 2 })
  expect(stored(lastHour)).toEqual(ofMinutes(lastHour))
})
