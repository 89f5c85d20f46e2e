import { constants, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { z } from 'zod'
import { codeOf, isForbidden } from '../file-trouble.ts'
import { makeFolder } from '../made-folder.ts'
import { refusedRight } from '../refused-right.ts'
import { errorText, RecordingTrouble, storageFailure } from './trouble.ts'

/** Who holds a data folder. */
const holder = z.object({ pid: z.int(), since: z.string() })
export type Holder = z.infer<typeof holder>

export class DataFolderInUse extends RecordingTrouble {
  /** null when the holder has not written down who it is, or what is written cannot be read. */
  readonly holder: Holder | null

  constructor(folder: string, found: Holder | null) {
    const who = found ? `process ${found.pid}, since ${found.since}` : 'another process'
    super('data-folder-in-use', `${folder}: in use by ${who}; stop it first, or choose another data folder`)
    this.holder = found
  }
}

export interface DataFolderLock {
  /** Gives the folder back. */
  release(): void
}

/** Locks held by this process: one that nobody refers to any more would be closed, and lost, without a word. */
const held = new Set<Database.Database>()

/**
 * One recorder per data folder: makes the folder where it is missing and holds it until released. The operating system
 * holds the lock, so that it goes with the process, however that ends. Throws `DataFolderInUse`, or `data-folder-unusable`.
 *
 * sinceMs: shown to whoever is refused.
 */
export function lockDataFolder(folder: string, sinceMs: number): DataFolderLock {
  const note = join(folder, 'recorder.json')
  const lock = locked(folder, note)
  held.add(lock)
  // No other code may open the lock's own file: closing it again would drop this process's lock (POSIX).
  try {
    writeFileSync(note, `${JSON.stringify({ pid: process.pid, since: new Date(sinceMs).toISOString() })}\n`)
  } catch (error) {
    // The lock alone decides: on a full disk nobody is told who holds it.
    if (storageFailure(error) === null) throw error
  }
  return {
    release() {
      if (!held.delete(lock)) return
      rmSync(note, { force: true })
      lock.close()
    },
  }
}

const lockIn = (folder: string): string => join(folder, 'recorder.lock')

function locked(folder: string, note: string): Database.Database {
  let lock: Database.Database | null = null
  try {
    makeFolder(folder)
    lock = new Database(lockIn(folder), { timeout: 0 })
    lock.exec('BEGIN EXCLUSIVE')
    return lock
  } catch (error) {
    lock?.close()
    if (error instanceof Database.SqliteError && error.code.startsWith('SQLITE_BUSY'))
      throw new DataFolderInUse(folder, noted(note))
    throw new RecordingTrouble(
      storageFailure(error) === 'disk-full' ? 'disk-full' : 'data-folder-unusable',
      `${folder}: cannot be used for recordings: ${whyUnusable(folder, error)}`,
      error,
    )
  }
}

function whyUnusable(folder: string, error: unknown): string {
  if (codeOf(error) === 'EEXIST') return 'it is a file; give a folder'
  if (lacksRight(folder, error))
    return 'no permission to write there; let this user write, or choose another data folder'
  return errorText(error)
}

/** SQLite does not tell a folder that may not be written to from one that it finds nothing in. */
const lacksRight = (folder: string, error: unknown): boolean =>
  isForbidden(error) ||
  (/^SQLITE_(CANTOPEN|READONLY)/.test(codeOf(error)) &&
    (refusedRight(folder, constants.W_OK | constants.X_OK) !== null ||
      refusedRight(lockIn(folder), constants.R_OK | constants.W_OK) !== null))

function noted(note: string): Holder | null {
  try {
    return holder.parse(JSON.parse(readFileSync(note, 'utf8')))
  } catch {
    // The lock alone decides; the note only says who.
    return null
  }
}
