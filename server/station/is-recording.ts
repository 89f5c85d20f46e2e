import { closeSync, openSync, readSync } from 'node:fs'
import { whyUnreadable } from '../file-trouble.ts'
import { Trouble } from '../trouble.ts'

const sqliteStart = 'SQLite format 3\0'

/** Whether a file is an SQLite file, as recordings are, or else a text log. Throws a `Trouble` where it cannot be read. */
export function isRecording(path: string): boolean {
  let handle: number | null = null
  try {
    handle = openSync(path, 'r')
    const start = Buffer.alloc(sqliteStart.length)
    readSync(handle, start, 0, start.length, 0)
    return start.toString('latin1') === sqliteStart
  } catch (error) {
    throw new Trouble(`${path}: cannot be read: ${whyUnreadable(error)}`)
  } finally {
    if (handle !== null) closeSync(handle)
  }
}
