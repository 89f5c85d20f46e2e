import { copyFileSync, mkdirSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openForReading, openForWriting } from '../../../server/recording/database.ts'
import { schemaVersion } from '../../../server/recording/recording.ts'
import { openRecordingFile } from '../../../server/recording/recording-file.ts'
import { aFolder, aLine, recorded } from '../../support/a-recording.ts'

const aRecording = (): string => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [[aLine(1)]])
  return path
}
const synchronous = (db: Database.Database): unknown => {
  const found = db.pragma('synchronous', { simple: true })
  db.close()
  return found
}

// Source: SQLite documentation, PRAGMA synchronous: 2 is FULL. WAL with NORMAL (1) loses the last commits at a power cut.
test('each opening of a recording flushes at every commit: of a new file, of one with a log, and for reading', () => {
  const path = aRecording()
  const keepsTheLog = openForWriting(path)
  expect(synchronous(openForWriting(path))).toBe(2)
  expect(synchronous(openForReading(path))).toBe(2)
  // Why it is set each time: left alone, a file with a log opens with less.
  expect(synchronous(new Database(path))).toBe(1)
  expect(synchronous(keepsTheLog)).toBe(2)
})

test('the engine below is free of the race that loses committed pages when the log starts anew', () => {
  const db = new Database(':memory:')
  const [major = 0, minor = 0, patch = 0] = String(db.prepare('SELECT sqlite_version()').pluck().get())
    .split('.')
    .map(Number)
  db.close()
  // Source: SQLite release notes, 3.51.3.
  expect(major * 1_000_000 + minor * 1000 + patch).toBeGreaterThanOrEqual(3_051_003)
})

test('a recording is told from other files, from newer ones and from empty ones', () => {
  const folder = aFolder()
  const [text, foreign, empty, newer] = ['text', 'foreign', 'empty', 'newer'].map((name) => join(folder, name)) as [
    string,
    string,
    string,
    string,
  ]
  writeFileSync(text, 'O2;CO\n8,1;112\n'.repeat(100))
  const other = new Database(foreign)
  other.exec('CREATE TABLE line (id INTEGER)')
  other.close()
  writeFileSync(empty, '')
  copyFileSync(aRecording(), newer)
  const later = new Database(newer)
  later.pragma(`user_version = ${schemaVersion + 1}`)
  later.close()
  expect(
    [text, foreign, empty, newer, join(folder, 'none')].map((path) => catching(() => openForReading(path))),
  ).toEqual(['not-a-recording', 'not-a-recording', 'recording-damaged', 'recording-newer', 'recording-missing'])
  expect([text, foreign, newer, join(folder, 'none')].map((path) => catching(() => openForWriting(path)))).toEqual([
    'SQLITE_NOTADB',
    'not-a-recording',
    'recording-newer',
    'recording-missing',
  ])
})

test('a recording with a log that is read where nothing may be written says that it may be copied, not that it is damaged', () => {
  const path = aRecording()
  const left = new Database(path)
  left.pragma('journal_mode = WAL')
  left.close()
  // A folder in its place: the log cannot be made, as on a write-protected medium.
  mkdirSync(`${path}-wal`)
  expect(() => openForReading(path)).toThrow(
    expect.objectContaining({ code: 'io-error', message: expect.stringContaining('copy it there, with the file') }),
  )
})

test('a writer that another one took over from stores nothing any more', () => {
  const path = aRecording()
  const earlier = openRecordingFile(path, 'earlier', 'resume')
  const later = openRecordingFile(path, 'later', 'resume')
  const batch = { firstSequence: 2, inputs: [], bytes: new Uint8Array(0), steps: [], derivedUpTo: 0 }
  expect(catching(() => earlier.store(batch, 0))).toBe('recording-taken-over')
  expect(catching(() => openRecordingFile(path, 'earlier', 'reopen'))).toBe('recording-taken-over')
  expect(later.store(batch, 0).stored.sequence).toBe(1)
  earlier.close()
  later.close()
})

function catching(act: () => unknown): unknown {
  try {
    act()
    return 'nothing was thrown'
  } catch (error) {
    return error instanceof Error && 'code' in error ? error.code : error
  }
}
