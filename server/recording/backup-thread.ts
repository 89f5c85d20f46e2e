import { closeSync, fsyncSync, openSync, renameSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { workerData } from 'node:worker_threads'
import Database from 'better-sqlite3'
import { openForReading } from './database.ts'
import { writerTable } from './writer-row.ts'

const { path, target } = workerData as { readonly path: string; readonly target: string }
const partial = `${target}.partial`

try {
  rmSync(partial, { force: true })
  const source = openForReading(path)
  source.prepare('VACUUM INTO ?').run(partial)
  source.close()
  closeCopy()
  flush(partial)
  renameSync(partial, target)
  flush(dirname(target))
} catch (error) {
  for (const end of ['', '-journal']) rmSync(partial + end, { force: true })
  throw error
}

/** Nobody writes on the copy, whatever is done to the original. */
function closeCopy(): void {
  const copy = new Database(partial)
  copy.pragma('synchronous = FULL')
  writerTable(copy).markClosed(null)
  copy.close()
}

function flush(file: string): void {
  const handle = openSync(file, 'r')
  try {
    fsyncSync(handle)
  } finally {
    closeSync(handle)
  }
}
