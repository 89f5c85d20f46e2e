import { constants, statSync } from 'node:fs'
import Database from 'better-sqlite3'
import { whyUnreadable } from '../file-trouble.ts'
import { refusedRight } from '../refused-right.ts'
import { migrations } from './migrations/migrations.ts'
import { applicationId, schemaVersion } from './recording.ts'
import { errorText, RecordingTrouble, storageFailure } from './trouble.ts'

export type Connection = Database.Database

/** Older versions have a race when the write-ahead log starts anew that can lose committed pages (SQLite release notes, 3.51.3). */
const oldestEngine = [3, 51, 3] as const
/** PRAGMA synchronous: 2 is FULL, the log is flushed at each commit. */
const synchronousFull = 2
/** Pages of the log after which a commit itself copies them back; idle moments come sooner but in a bulk import. */
const logPagesMost = 2000
const logBytesKept = 4_194_304
/** How long a connection waits for another's lock, ms. */
const lockWaitMs = 2000

/**
 * Opens a recording, or an empty file that is to become one, for writing: write-ahead log, flushed at each commit.
 *
 * Throws a trouble when the file is no recording, is newer than this program, or cannot be written durably; a damaged or
 * failing file throws what SQLite says. `synchronous` is set and read back each time, since an existing file in WAL mode
 * opens with NORMAL, which loses commits at a power cut.
 */
export function openForWriting(path: string): Connection {
  checkExists(path)
  const db = new Database(path, { fileMustExist: true, timeout: lockWaitMs })
  try {
    checkEngine(db)
    checkKind(db, path, 'may be empty')
    if (db.pragma('journal_mode = WAL', { simple: true }) !== 'wal') {
      throw new RecordingTrouble(
        'recording-not-durable',
        `${path}: this file system cannot hold a write-ahead log; use a local disk`,
      )
    }
    makeDurable(db, path)
    db.pragma(`wal_autocheckpoint = ${logPagesMost}`)
    db.pragma(`journal_size_limit = ${logBytesKept}`)
    migrate(db)
    return db
  } catch (error) {
    db.close()
    throw error
  }
}

/** Opens a recording for reading, also one that is being written. Throws a trouble that says what is wrong with the file. */
export function openForReading(path: string): Connection {
  checkExists(path)
  let db: Connection | null = null
  try {
    db = new Database(path, { readonly: true, fileMustExist: true, timeout: lockWaitMs })
    checkEngine(db)
    makeDurable(db, path)
    // The file may come from anyone: its views and triggers get no say.
    db.pragma('trusted_schema = OFF')
    db.pragma('cell_size_check = ON')
    checkKind(db, path, 'must be a recording')
    return db
  } catch (error) {
    db?.close()
    throw asDamage(error, path)
  }
}

/** A database for what is not to last: in a temporary file without a name, which goes when it is closed. `tables`: made in it. */
export function openTemporary(tables: string): Connection {
  const db = new Database('')
  db.pragma('journal_mode = OFF')
  db.exec(tables)
  return db
}

/** A log and its index lie beside the file; SQLite makes the index where it is missing, also to read. */
const wayOut =
  'where its station did not close it, or it was copied without its log, it can be read only in a folder that this user may write to: copy it there, with the file of the same name with -wal at its end if there is one'

/** What SQLite says of an unreadable file as a trouble; troubles and defects stay what they are. */
export function asDamage(error: unknown, path: string): unknown {
  if (!(error instanceof Database.SqliteError)) return error
  if (error.code.startsWith('SQLITE_NOTADB'))
    return new RecordingTrouble('not-a-recording', `${path}: this is no recording`, error)
  if (/^SQLITE_(CANTOPEN|READONLY)/.test(error.code))
    return new RecordingTrouble('io-error', `${path}: cannot be opened here: ${errorText(error)}; ${wayOut}`, error)
  if (storageFailure(error) || /^SQLITE_(ERROR|CORRUPT)/.test(error.code)) {
    return new RecordingTrouble('recording-damaged', `${path}: cannot be read: ${errorText(error)}`, error)
  }
  return error
}

function checkExists(path: string): void {
  // SQLite says of a file that may not be read what it says of one without its log.
  const refusal = refusedRight(path, constants.R_OK)
  if (refusal !== null)
    throw new RecordingTrouble('io-error', `${path}: cannot be read: ${whyUnreadable(refusal)}`, refusal)
  const found = statSync(path, { throwIfNoEntry: false })
  if (!found) throw new RecordingTrouble('recording-missing', `${path}: there is no such file`)
  if (found.isDirectory()) throw new RecordingTrouble('not-a-recording', `${path}: is a folder, no recording`)
}

function checkEngine(db: Connection): void {
  const found = String(db.prepare('SELECT sqlite_version()').pluck().get())
  const parts = found.split('.').map(Number)
  const at = oldestEngine.findIndex((part, index) => part !== parts[index])
  if (at >= 0 && (parts[at] ?? 0) < (oldestEngine[at] ?? 0)) {
    throw new RecordingTrouble(
      'database-too-old',
      `SQLite ${found} can lose committed data; ${oldestEngine.join('.')} or newer is needed: install the packages of the lock file`,
    )
  }
}

function makeDurable(db: Connection, path: string): void {
  db.pragma('synchronous = FULL')
  const found = db.pragma('synchronous', { simple: true })
  if (found !== synchronousFull) {
    throw new RecordingTrouble(
      'recording-not-durable',
      `${path}: PRAGMA synchronous is ${found}, must be ${synchronousFull} (FULL); nothing is recorded without it`,
    )
  }
}

function checkKind(db: Connection, path: string, kind: 'may be empty' | 'must be a recording'): void {
  const id = db.pragma('application_id', { simple: true })
  const version = Number(db.pragma('user_version', { simple: true }))
  const isEmpty = Number(db.prepare('SELECT count(*) FROM sqlite_schema').pluck().get()) === 0
  if (isEmpty && id === 0) {
    if (kind === 'may be empty') return
    throw new RecordingTrouble(
      'recording-damaged',
      `${path}: is empty. Either the computer stopped while it was being made, and it can be deleted; or it was copied, or is left, without its log, the file of the same name with -wal at its end: put that beside it again`,
    )
  }
  if (id !== applicationId)
    throw new RecordingTrouble(
      'not-a-recording',
      `${path}: this is no recording (application_id ${id}, must be ${applicationId})`,
    )
  if (version > schemaVersion) {
    throw new RecordingTrouble(
      'recording-newer',
      `${path}: made by a newer version (tables of version ${version}, this program knows ${schemaVersion}); use that version`,
    )
  }
}

function migrate(db: Connection): void {
  const from = Number(db.pragma('user_version', { simple: true }))
  migrations.slice(from).forEach((step, index) => {
    db.transaction(() => {
      db.exec(step)
      db.pragma(`application_id = ${applicationId}`)
      db.pragma(`user_version = ${from + index + 1}`)
    }).immediate()
  })
}
