import { codeOf } from '../file-trouble.ts'

/** What can be wrong with a recording or its folder that no code here can mend. */
export type RecordingTroubleCode =
  | 'recording-missing'
  | 'recording-exists'
  | 'not-a-recording'
  | 'recording-newer'
  | 'recording-damaged'
  | 'recording-not-durable'
  | 'recording-taken-over'
  | 'database-too-old'
  | 'disk-full'
  | 'io-error'
  | 'data-folder-in-use'
  | 'data-folder-unusable'

/** Expected to happen and told to the operator: the text names the thing, what was found, and the way out. */
export class RecordingTrouble extends Error {
  readonly code: RecordingTroubleCode
  override readonly name = 'RecordingTrouble'

  constructor(code: RecordingTroubleCode, text: string, cause?: unknown) {
    super(text, cause === undefined ? undefined : { cause })
    this.code = code
  }
}

/** A full disk, a failing disk, or neither (null): then the error is a defect, or the file's content is damaged. */
export function storageFailure(error: unknown): 'disk-full' | 'io-error' | null {
  const code = codeOf(error)
  // Of the index of its log SQLite only says that it could not be made longer (SQLite documentation, result codes).
  if (code === 'SQLITE_IOERR_SHMSIZE') return 'disk-full'
  if (code === 'SQLITE_FULL' || code === 'ENOSPC' || code === 'EDQUOT') return 'disk-full'
  if (/^SQLITE_(IOERR|CANTOPEN|READONLY|BUSY|LOCKED|PROTOCOL|NOMEM|CORRUPT|NOTADB)/.test(code)) return 'io-error'
  return /^(EIO|EROFS|EACCES|EPERM|ENOENT|EMFILE|ENFILE)$/.test(code) ? 'io-error' : null
}

/** A full disk as a trouble, which is told to whoever asked; all else stays what it is. */
export function asDiskTrouble(error: unknown): unknown {
  return storageFailure(error) === 'disk-full' ? new RecordingTrouble('disk-full', errorText(error), error) : error
}

/** `disk I/O error (SQLITE_IOERR_FSYNC)`: what the operator hears of an error. */
export function errorText(error: unknown): string {
  if (error instanceof RecordingTrouble) return error.message
  const code = codeOf(error)
  const text = error instanceof Error ? error.message : String(error)
  return code && !text.includes(code) ? `${text} (${code})` : text
}
