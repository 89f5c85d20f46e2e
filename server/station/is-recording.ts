import { closeSync, openSync, readSync } from 'node:fs'
import { Trouble } from '../trouble.ts'

const sqliteStart = 'SQLite format 3\0'

/** Whether a file is an SQLite file, as recordings are, or else a text log. */
export function isRecording(path: string): boolean {
  let handle: number
  try {
    handle = openSync(path, 'r')
  } catch (error) {
    throw new Trouble(`${path}: cannot be read: ${error instanceof Error ? error.message : error}`)
  }
  try {
    const start = Buffer.alloc(sqliteStart.length)
    readSync(handle, start, 0, start.length, 0)
    return start.toString('latin1') === sqliteStart
  } finally {
    closeSync(handle)
  }
}
