import { closeSync, fsyncSync, openSync, rmSync, statSync } from 'node:fs'
import { dirname } from 'node:path'
import { codeOf } from '../file-trouble.ts'
import { type Batch, lastSequence } from './batch.ts'
import { type Connection, openForWriting } from './database.ts'
import { derivedTables } from './derived.ts'
import { eventTable } from './events.ts'
import { writeHeader } from './header.ts'
import { newestInput } from './inputs.ts'
import { lineTable } from './lines.ts'
import { NameOnDisk } from './name-on-disk.ts'
import type { RecordingHeader } from './recording.ts'
import { firstSeal, nextSeal, type Seal, sealedEvent, sealedLine, sealLongest } from './seal.ts'
import { sealTable } from './seals.ts'
import { errorText, RecordingTrouble, storageFailure } from './trouble.ts'
import { writerTable } from './writer-row.ts'

/** What lies durably in the file. */
export interface Stored {
  readonly sequence: number
  /** Station time of the newest input, ms; null before the first. */
  readonly atMs: number | null
  readonly derived: number
  readonly head: string | null
  /** Of the file and its log together. */
  readonly bytes: number
}

export interface StoreOutcome {
  readonly stored: Stored
  /** Derived rows that the tables refused: a defect of what made them; the inputs are stored all the same. */
  readonly stepsRefused: { readonly count: number; readonly detail: string } | null
}

/** Pages of the log that are worth copying back when nothing else is to be done: 1 MB. */
const logPagesWorth = 256

/** Makes the file of a new recording: tables, header, settings and the first seal in one transaction. Refuses to touch a file that exists. */
export function makeRecordingFile(path: string, header: RecordingHeader, token: string): RecordingFile {
  try {
    closeSync(openSync(path, 'wx'))
  } catch (error) {
    throw codeOf(error) === 'EEXIST'
      ? new RecordingTrouble(
          'recording-exists',
          `${path}: there is such a file already; a recording is never written over`,
        )
      : asTrouble(error, path)
  }
  let db: Connection | null = null
  try {
    db = openForWriting(path)
    fill(db, header, token)
    flushFolder(dirname(path))
    return new RecordingFile(path, token, db)
  } catch (error) {
    db?.close()
    for (const end of ['', '-wal', '-shm']) rmSync(path + end, { force: true })
    throw asTrouble(error, path)
  }
}

/**
 * Opens the file of a recording to write on, also after a kill. `resume` checks the file and takes it over from whoever
 * wrote before; `reopen`, after an I/O error, throws if somebody else did so meanwhile.
 */
export function openRecordingFile(path: string, token: string, how: 'resume' | 'reopen'): RecordingFile {
  let db: Connection | null = null
  try {
    db = openForWriting(path)
    if (how === 'resume') checkContent(db, path)
    // What an interrupted or failed commit left in the log is flushed and copied back before anything builds on it: the
    // system may show pages that it could not write.
    const [state] = db.pragma(`wal_checkpoint(${how === 'reopen' ? 'TRUNCATE' : 'PASSIVE'})`) as { busy: number }[]
    if (how === 'reopen' && state?.busy !== 0)
      throw new RecordingTrouble('io-error', `${path}: a reader holds the log; what lies in it cannot be made safe yet`)
    const writer = writerTable(db)
    if (how === 'resume') writer.takeOver(token)
    else writer.check(token)
    return new RecordingFile(path, token, db)
  } catch (error) {
    db?.close()
    throw asTrouble(error, path)
  }
}

/** One recording open for writing; synchronous, lives in the writer's thread. */
export class RecordingFile {
  readonly #path: string
  readonly #token: string
  readonly #db: Connection
  readonly #lines: ReturnType<typeof lineTable>
  readonly #events: ReturnType<typeof eventTable>
  readonly #seals: ReturnType<typeof sealTable>
  readonly #derived: ReturnType<typeof derivedTables>
  readonly #writer: ReturnType<typeof writerTable>
  readonly #name: NameOnDisk
  readonly #newest: { sequence: number; atMs: number | null }
  #seal: Seal
  #derivedUpTo: number

  constructor(path: string, token: string, db: Connection) {
    this.#path = path
    this.#token = token
    this.#db = db
    this.#name = new NameOnDisk(path)
    this.#lines = lineTable(db)
    this.#events = eventTable(db)
    this.#seals = sealTable(db)
    this.#derived = derivedTables(db)
    this.#writer = writerTable(db)
    this.#newest = newestInput(db) ?? { sequence: 0, atMs: null }
    this.#derivedUpTo = this.#writer.derivedUpTo()
    const seal = this.#seals.newest()
    if (!seal)
      throw new RecordingTrouble(
        'recording-damaged',
        `${path}: its seals are gone; it can be read and verified, but not written on`,
      )
    this.#seal = seal
  }

  get stored(): Stored {
    return {
      ...this.#newest,
      derived: this.#derivedUpTo,
      head: this.#seal.hash,
      bytes: fileBytes(this.#path) + fileBytes(`${this.#path}-wal`),
    }
  }

  /** All of the batch or nothing of it. Throws what SQLite says; nothing is stored then, or it is uncertain: open the file anew. */
  store(batch: Batch, nowMs: number): StoreOutcome {
    this.#name.check()
    this.#db.exec('BEGIN IMMEDIATE')
    try {
      this.#writer.check(this.#token)
      const seal = this.#storeInputs(batch, nowMs)
      const stepsRefused = this.#storeSteps(batch)
      this.#db.exec('COMMIT')
      this.#seal = seal
      this.#derivedUpTo = batch.derivedUpTo
      if (batch.inputs.length > 0)
        Object.assign(this.#newest, { sequence: lastSequence(batch), atMs: batch.inputs.at(-1)?.atMs })
      return { stored: this.stored, stepsRefused }
    } catch (error) {
      if (this.#db.inTransaction) this.#db.exec('ROLLBACK')
      throw error
    }
  }

  /** Copies the log back into the file where that is worth it. Does not wait for readers. */
  checkpoint(): void {
    if (fileBytes(`${this.#path}-wal`) > logPagesWorth * 4096) this.#db.pragma('wal_checkpoint(PASSIVE)')
  }

  /** Marks the recording as closed, empties the log and, unless a reader is there, leaves one plain file that needs none. */
  close(): void {
    try {
      this.#writer.markClosed(this.#token)
      this.#db.pragma('wal_checkpoint(TRUNCATE)')
      this.#db.pragma('journal_mode = DELETE')
    } catch (error) {
      // All that was acknowledged is durable in the log already; the next opening copies it back.
      if (!storageFailure(error)) throw error
    } finally {
      this.#db.close()
    }
  }

  /** Lets go of a file that failed; nothing is written any more. */
  abandon(): void {
    try {
      this.#db.close()
    } catch {
      // The disk fails; the handle is of no use either way.
    }
  }

  #storeInputs({ firstSequence, inputs, bytes }: Batch, nowMs: number): Seal {
    const data = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    let seal = this.#seal
    let start = 0
    let covered = ''
    let first = firstSequence
    inputs.forEach((input, index) => {
      const sequence = firstSequence + index
      const { atMs, monotonicMs } = input
      if ('end' in input) {
        const line = data.subarray(start, input.end)
        start = input.end
        this.#lines.insert(sequence, input.stream, atMs, monotonicMs, input.piece, line)
        covered += sealedLine(sequence, atMs, monotonicMs, input.piece, input.stream, line.toString('hex'))
      } else {
        this.#events.insert({ sequence, ...input })
        covered += sealedEvent(sequence, atMs, monotonicMs, input.kind, input.body)
      }
      if (sequence - first + 1 < sealLongest && index < inputs.length - 1) return
      seal = nextSeal(seal, first, sequence, nowMs, covered)
      this.#seals.insert(seal)
      covered = ''
      first = sequence + 1
    })
    return seal
  }

  #storeSteps({ steps, derivedUpTo }: Batch): StoreOutcome['stepsRefused'] {
    let count = 0
    let detail = ''
    for (const step of steps) {
      try {
        this.#derived.put(step)
      } catch (error) {
        if (storageFailure(error) || !this.#db.inTransaction) throw error
        count += 1
        detail ||= `${step.table}: ${errorText(error)}`
      }
    }
    if (steps.length > 0) this.#writer.setDerivedUpTo(derivedUpTo)
    return count > 0 ? { count, detail } : null
  }
}

function fill(db: Connection, header: RecordingHeader, token: string): void {
  db.transaction(() => {
    writeHeader(db, header)
    sealTable(db).insert(firstSeal(header))
    writerTable(db).make(token)
  }).immediate()
}

function checkContent(db: Connection, path: string): void {
  const found = String(db.pragma('quick_check(1)', { simple: true }))
  if (found !== 'ok')
    throw new RecordingTrouble(
      'recording-damaged',
      `${path}: is damaged (${found}); it is left as it is, start a new recording`,
    )
}

function asTrouble(error: unknown, path: string): unknown {
  const failure = storageFailure(error)
  return failure ? new RecordingTrouble(failure, `${path}: ${errorText(error)}`, error) : error
}

/** Makes the new file's name durable; the file system may otherwise forget it at a power cut. */
function flushFolder(path: string): void {
  const handle = openSync(path, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}

const fileBytes = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0
