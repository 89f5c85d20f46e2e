import { randomBytes } from 'node:crypto'
import { open, rename, rm, writeFile } from 'node:fs/promises'
import { basename, dirname, join } from 'node:path'
import { codeOf } from '../file-trouble.ts'
import { makeFolder } from '../made-folder.ts'
import { exitStatus, Trouble } from '../trouble.ts'

/** A name of its own beside a file, hidden, for what is to become that file once it is whole. */
export const partBeside = (path: string): string =>
  join(dirname(path), `.${basename(path)}.${randomBytes(6).toString('hex')}.part`)

/**
 * Writes a file that is there whole or not at all: to a temporary file beside it, flushed, renamed, its folder flushed.
 * What fails, or is stopped by `halt`, leaves neither a truncated file under the name nor the temporary one. Throws a `Trouble`
 * that names the file.
 */
export async function writeWhole(
  path: string,
  content: Iterable<string> | Buffer | string,
  halt?: AbortSignal,
): Promise<void> {
  const folder = dirname(path)
  const temporary = partBeside(path)
  try {
    makeFolder(folder)
    const file = await open(temporary, 'wx')
    try {
      await writeFile(file, content, { signal: halt })
      await file.sync()
    } finally {
      await file.close()
    }
    await rename(temporary, path)
    await flushFolder(folder)
  } catch (error) {
    await rm(temporary, { force: true }).catch(() => undefined) // Where it could not be made, it cannot be removed.
    if (halt?.aborted)
      throw new Trouble(`${path}: stopped; it is not there, files before it are whole`, exitStatus.interrupted)
    throw error instanceof Trouble ? error : troubleOf(path, error)
  }
}

/** A name is durable only when its folder is. Some file systems cannot flush a folder; the file itself is safe there. */
async function flushFolder(folder: string): Promise<void> {
  const handle = await open(folder, 'r').catch(() => null)
  await handle?.sync().catch(() => undefined)
  await handle?.close()
}

function troubleOf(path: string, error: unknown): Error {
  const code = codeOf(error)
  if (code === 'ENOSPC' || code === 'EDQUOT')
    return new Trouble(
      `${path}: the disk is full; nothing was left under this name. Free some room or choose another --out`,
      exitStatus.diskFull,
      error,
    )
  if (/^(EACCES|EPERM|EROFS|ENOTDIR|EISDIR|EEXIST|ENAMETOOLONG|ENOENT|EIO)$/.test(code))
    return new Trouble(`${path}: cannot be written (${code}); choose another --out`, exitStatus.wrongUse, error)
  return error instanceof Error ? error : new Error(String(error))
}
