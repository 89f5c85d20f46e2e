import { type BigIntStats, statSync } from 'node:fs'
import { RecordingTrouble } from './trouble.ts'

/**
 * Whether a recording that is open still lies under its name. The system goes on taking what is written to a file without a
 * name, without a word, and lets go of all of it when the file is closed or the process ends.
 */
export class NameOnDisk {
  readonly #path: string
  readonly #file: BigIntStats | null

  constructor(path: string) {
    this.#path = path
    this.#file = found(path)
  }

  /** Throws a trouble where it does not, or where its log does not: opened anew, it gets another one. */
  check(): void {
    const now = found(this.#path)
    if (now === null || now.ino !== this.#file?.ino || now.dev !== this.#file.dev)
      throw new RecordingTrouble(
        'recording-missing',
        `${this.#path}: was removed, renamed or replaced while it was written; put it back under this name. What comes until then waits in memory, and is lost if the station ends before`,
      )
    if (found(`${this.#path}-wal`) === null)
      throw new RecordingTrouble('io-error', `${this.#path}-wal: was removed while it was written; it is made anew`)
  }
}

const found = (path: string): BigIntStats | null => statSync(path, { throwIfNoEntry: false, bigint: true }) ?? null
