import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, dirname, join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, beforeEach, describe, expect, test } from 'vitest'
import type { AmendRequest } from '../../../protocols/live/amend.ts'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { engineVersion } from '../../../server/engine/engine-version.ts'
import { openRecording, type RecordingReader } from '../../../server/recording/recording-reader.ts'
import { resumeRecording } from '../../../server/recording/recording-writer.ts'
import { amendRecording } from '../../../server/station/amendments/amend-recording.ts'
import { factsOf, toldAmendment } from '../../../server/station/amendments/told-amendment.ts'
import { explainRecording } from '../../../server/station/explain/explain-recording.ts'
import { exportRecordingTo } from '../../../server/station/export-recording.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedNight } from '../../support/a-recorded-night.ts'
import { aFolder } from '../../support/a-recording.ts'
import { minute, ten } from '../../support/engine-night.ts'

// Expected means by hand: a half-hour holds 180 readings of ten seconds. With the hose off for 30 of them at 400 ppm and 40 ppm
// otherwise the mean is (150 · 40 + 30 · 400) / 180 = 100 ppm; without them 40 ppm over 1500 s, coverage 5/6.

const told = ten + 10 * 60 * minute
const hoseOff = {
  do: 'exclude',
  by: 'A. Tester',
  fromMs: ten + 20 * minute,
  toMs: ten + 25 * minute,
  stream: null,
  channel: null,
  reason: 'hose off the probe',
} as const

function read<T>(path: string, what: (reader: RecordingReader) => T): T {
  const reader = openRecording(path)
  try {
    return what(reader)
  } finally {
    reader.close()
  }
}

async function amend(path: string, request: AmendRequest, nowMs = told) {
  const asked = read(path, (reader) => toldAmendment(request, factsOf(reader, null), nowMs))
  if (!asked.ok) return asked
  return { ...asked, ...(await amendRecording(path, { by: request.by, nowMs, action: asked.action })) }
}
const firstHalfHour = (path: string, quantity: AverageRow['quantity'] = 'as_read', channel = 'co') =>
  read(path, (reader) => reader.blocks({ channel, quantity, average: 'PT30M', fromMs: ten, toMs: ten + 1 })[0])

let path = ''
const made = mkdtempSync(join(tmpdir(), 'amended-'))
beforeAll(() => aRecordedNight(made))
afterAll(() => rmSync(made, { recursive: true, force: true }))
beforeEach(() => {
  path = join(aFolder(), 'night.flue.sqlite')
  copyFileSync(join(made, 'night.flue.sqlite'), path)
})

describe('an exclusion told after the run is over', () => {
  test('takes its readings out of the averages, lowers the coverage and gives the reason', async () => {
    expect(firstHalfHour(path)).toMatchObject({ mean: 100, count: 180, coverage: 1, reasons: [] })
    await amend(path, hoseOff)
    expect(firstHalfHour(path)).toMatchObject({
      mean: 40,
      count: 150,
      countedMs: 1_500_000,
      valid: true,
      reasons: ['excluded'],
    })
    expect(firstHalfHour(path)?.coverage).toBeCloseTo(5 / 6, 12)
  })

  test('leaves averages that it does not touch as they were, and notes the others with who, when and why', async () => {
    const before = read(path, (reader) => reader.blocks({ fromMs: ten + 30 * minute }))
    await amend(path, hoseOff)
    expect(read(path, (reader) => reader.blocks({ fromMs: ten + 30 * minute }))).toEqual(before)
    const history = read(path, (reader) => [...reader.history()])
    const entry = history.find(
      ({ old }) => old.channel === 'co' && old.average === 'PT30M' && old.quantity === 'as_read',
    )
    expect(entry).toMatchObject({
      kind: 'block',
      replacedMs: told,
      by: 'A. Tester',
      reason: 'excluded: hose off the probe',
      old: { mean: 100, count: 180 },
      new: { mean: 40, count: 150 },
    })
    // Five minutes and the half-hour, the rolling hours that hold them; of nothing after 11:25.
    expect(history.every(({ old }) => old.startMs < ten + 25 * minute && old.endMs > ten + 20 * minute)).toBe(true)
  })

  test('is sealed like any input, and verify holds averages against the amended run and alarms against the lived one', async () => {
    const alarms = read(path, (reader) => reader.alarms())
    await amend(path, hoseOff)
    const answer = verifyRecording(path)
    expect(answer).toMatchObject({ ok: true, recomputation: { ok: true, faults: [] } })
    expect(answer.recomputation.notes.join()).toContain('amended by 1 exclusions and 0 checks')
    expect(answer.recomputation.notes.join()).toContain('not sealed')
    expect(read(path, (reader) => reader.alarms())).toEqual(alarms)
  })

  test('does not make the run last longer', async () => {
    const { lastMs } = read(path, (reader) => reader.extent())
    await amend(path, hoseOff)
    expect(read(path, (reader) => reader.extent()).lastMs).toBe(lastMs)
    expect(read(path, (reader) => reader.runState())).toBe('ended')
  })

  test('of one channel takes out what is converted with it, and no other channel', async () => {
    await amend(path, { ...hoseOff, channel: 'o2', stream: 'main' })
    expect(firstHalfHour(path)).toMatchObject({ mean: 100, reasons: [] })
    expect(firstHalfHour(path, 'as_read', 'o2')).toMatchObject({ mean: 11, reasons: ['excluded'] })
    expect(firstHalfHour(path, 'at_reference_oxygen')).toMatchObject({ count: 150, reasons: ['excluded'] })
  })

  test('withdrawn, gives the averages back as they were, and both changes stay in the history', async () => {
    const before = read(path, (reader) => [reader.blocks(), reader.rolling()])
    const excluded = await amend(path, hoseOff)
    const withdrawn = await amend(
      path,
      { do: 'withdraw', by: 'B. Tester', id: 'exclusion-1', reason: 'it was on' },
      told + 1000,
    )
    expect([excluded.ok && excluded.id, withdrawn.ok]).toEqual(['exclusion-1', true])
    expect(read(path, (reader) => [reader.blocks(), reader.rolling()])).toEqual(before)
    const changes = read(path, (reader) => [...reader.history()]).filter(
      ({ old }) => old.channel === 'co' && old.average === 'PT30M' && old.quantity === 'as_read',
    )
    expect(changes.map(({ by, reason, old, new: is }) => [by, reason, old.mean, is?.mean])).toEqual([
      ['A. Tester', 'excluded: hose off the probe', 100, 40],
      ['B. Tester', 'withdrawn exclusion-1: it was on', 40, 100],
    ])
    expect(verifyRecording(path).ok).toBe(true)
  })

  test('stands in the export: the averages amended, its readings named, who and why in the logbook and in a table', async () => {
    await amend(path, hoseOff)
    const folder = join(path, '..', 'export')
    await exportRecordingTo(path, { folder, formats: ['csv'], decimal: '.' })
    const table = (name: string) => readFileSync(join(folder, name), 'utf8')
    expect(table('blocks.csv')).toMatch(/,co,as_read,ppm,dry,,,PT30M,\S+?,\S+?,40,.*,excluded,/)
    expect(
      table('readings.csv')
        .split('\n')
        .filter((line) => line.includes('excluded')),
    ).not.toHaveLength(0)
    expect(table('logbook.csv')).toContain('hose off the probe')
    expect(table('exclusions.csv')).toContain('exclusion-1')
  })

  test('is told by explain: the stretch, its reason and who took it out', async () => {
    await amend(path, hoseOff)
    const answer = explainRecording(path, { startMs: ten, channel: 'co', average: 'PT30M', quantity: 'as_read' })
    expect(answer).toMatchObject({
      agrees: true,
      row: { mean: 40 },
      exclusions: [{ reason: 'hose off the probe', by: 'A. Tester' }],
    })
    expect(answer.stretches).toContainEqual(
      expect.objectContaining({
        fromMs: ten + 20 * minute,
        toMs: ten + 25 * minute,
        counts: false,
        readings: 30,
        reason: 'co: excluded',
      }),
    )
  })
})

test('a history that was tampered with does not lead to the averages in force, and verify says so', async () => {
  await amend(path, hoseOff)
  const db = new Database(path)
  db.exec(`UPDATE average_history SET new = json_set(new, '$.mean', 39) WHERE number = 1`)
  db.close()
  const { ok, recomputation } = verifyRecording(path)
  expect([ok, recomputation.faults[0]]).toEqual([
    false,
    expect.stringContaining('does not lead to the average in force'),
  ])
})

test('an exclusion that is taken out of the recording is found by the seals and by the averages', async () => {
  await amend(path, hoseOff)
  const db = new Database(path)
  db.exec(`DELETE FROM event WHERE body LIKE '%exclude%'`)
  db.close()
  const { seals, recomputation } = verifyRecording(path)
  expect([seals.ok, recomputation.ok]).toEqual([false, false])
})

test('an exclusion whose averages were not formed any more is told by verify, and the next amendment forms them', async () => {
  const writer = await resumeRecording(path)
  const { by, fromMs, toMs, stream, channel, reason } = hoseOff
  const exclusion = { id: 'exclusion-1', fromMs, toMs, stream, channel, reason }
  writer.append({ kind: 'operator', by, action: { do: 'exclude', exclusion }, atMs: told, monotonicMs: 0 })
  await writer.close()
  const { seals, recomputation } = verifyRecording(path)
  expect([seals.ok, recomputation.ok]).toEqual([true, false])
  expect(recomputation.notes.join()).toContain(`an amendment was told at ${new Date(told).toISOString()}`)
  await amend(path, { ...hoseOff, fromMs: ten + 60 * minute, toMs: ten + 61 * minute })
  expect([verifyRecording(path).ok, firstHalfHour(path)?.mean]).toEqual([true, 40])
})

test('averages that a withdrawal ends which was stopped half-way go with the next amendment', async () => {
  ;({ path } = await aRecordedNight(aFolder(), { corrections: { spanFrom: 'checks' } }))
  const span = { do: 'check', by: 'A. Tester', kind: 'span', channel: 'co', performedMs: ten } as const
  await amend(path, { ...span, expected: 90, response: 87, direct: null, gas: 'invented 7' })
  expect(firstHalfHour(path, 'drift_corrected')).toBeDefined()
  const writer = await resumeRecording(path)
  const action = { do: 'withdraw', id: 'check-1-span-co', reason: 'wrong cylinder' } as const
  writer.append({ kind: 'operator', by: 'A. Tester', action, atMs: told, monotonicMs: 0 })
  await writer.close()
  expect(verifyRecording(path).ok).toBe(false)
  await amend(path, { ...hoseOff, fromMs: ten + 60 * minute, toMs: ten + 61 * minute })
  expect([verifyRecording(path).ok, firstHalfHour(path, 'drift_corrected')]).toEqual([true, undefined])
})

describe('a stretch that cannot be excluded is refused with what is allowed', () => {
  test.each([
    [{ ...hoseOff, fromMs: ten - minute }, 400, 'must lie within the run'],
    [{ ...hoseOff, toMs: ten + 24 * 60 * minute }, 400, 'must lie within the run'],
    [{ ...hoseOff, toMs: hoseOff.fromMs }, 400, 'must be later than fromMs'],
    [{ ...hoseOff, fromMs: hoseOff.fromMs + 0.5 }, 400, 'must be whole milliseconds'],
    [{ ...hoseOff, channel: 'so2' }, 400, 'there is no "so2"; there are co, o2'],
    [{ ...hoseOff, stream: 'outlet' }, 400, 'there is no "outlet"; there are main'],
    [{ do: 'withdraw', by: 'A. Tester', id: 'exclusion-7', reason: 'x' } as const, 404, 'nothing amends this run'],
  ])('%j', async (request, status, text) => {
    const answer = await amend(path, request)
    expect(answer).toMatchObject({ ok: false, status, errors: [expect.stringContaining(text)] })
  })
})

test('a recording that another version of the engine made is compared in what that version formed, and verify says so', () => {
  const db = new Database(path)
  // The last bit of a mean may differ between versions, and the version stands in the header.
  db.exec(`UPDATE block SET mean = mean * (1 + 2e-16), uncertainty = NULL, detection = NULL, verdicts = '[]'`)
  db.exec(`UPDATE header SET engine_version = '0.1.0'`)
  db.close()
  const { recomputation } = verifyRecording(path)
  expect(recomputation).toMatchObject({ ok: true, faults: [] })
  expect(recomputation.notes.join()).toContain('made by engine 0.1.0, recomputed by')
  const changed = new Database(path)
  changed.exec(`UPDATE block SET mean = mean * (1 + 1e-9) WHERE channel = 'co'`)
  changed.close()
  expect(verifyRecording(path).recomputation.ok).toBe(false)
})

test('what this version forms otherwise than the one that recorded is not said to be the doing of who amends', async () => {
  const db = new Database(path)
  db.exec(`UPDATE block SET mean = mean * (1 + 1e-9) WHERE channel = 'co'`)
  db.exec(`UPDATE header SET engine_version = '0.1.0'`)
  db.close()
  const amended = await amend(path, hoseOff)
  const history = read(path, (reader) => [...reader.history()])
  const byPerson = history.filter(({ by }) => by !== null)
  expect(byPerson.length).toBeGreaterThan(0)
  expect(byPerson.every(({ old }) => old.startMs < hoseOff.toMs && old.endMs > hoseOff.fromMs)).toBe(true)
  expect(amended).toMatchObject({ changed: byPerson.length })
  // Of CO, 120 minutes and 4 half-hours as read: each once, by nobody.
  const byVersion = history.filter(({ by, old }) => by === null && old.channel === 'co' && old.quantity === 'as_read')
  expect(byVersion).toHaveLength(124)
  expect(new Set(byVersion.map(({ reason }) => reason))).toEqual(
    new Set([`version ${engineVersion} forms it otherwise than 0.1.0, which recorded it`]),
  )
  expect(verifyRecording(path).recomputation).toMatchObject({ ok: true })
})

test('a recording that was left with its log is one file again after an amendment, as one to be mailed must be', async () => {
  const db = new Database(path)
  db.pragma('journal_mode = WAL')
  db.close()
  await amend(path, hoseOff)
  expect(readdirSync(dirname(path))).toEqual([basename(path)])
  // The versions of the file format for writing and reading: 2 where it wants a log, which a write-protected medium refuses.
  expect([...readFileSync(path).subarray(18, 20)]).toEqual([1, 1])
})
