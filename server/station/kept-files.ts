import {
  createWriteStream,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  statfsSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, dirname, join } from 'node:path'
import type { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import type { ExportedFile, Outcome } from '../http/station-face.ts'
import { backupRecording } from '../recording/backup.ts'
import { recordingEnd } from '../recording/file-name.ts'
import { openRecording } from '../recording/recording-reader.ts'
import { asDiskTrouble, errorText } from '../recording/trouble.ts'
import { verifySeals } from '../recording/verify.ts'

const contentType = 'application/vnd.sqlite3'

/** Beside each recording that was brought along lies an empty file of its name in there: a run in it is another station's. */
const broughtAlongFolder = (folder: string): string => join(folder, '.brought-along')

/** Whether a recording in a data folder was taken in, and not made by the station that holds the folder. */
export const wasBroughtAlong = (folder: string, file: string): boolean =>
  existsSync(join(broughtAlongFolder(folder), file))

/** A recording as one plain file to carry away, also one that is being written. */
export async function copyToSend(path: string, name: string): Promise<ExportedFile> {
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-copy-'))
  const release = (): void => rmSync(folder, { recursive: true, force: true })
  try {
    const target = join(folder, `${name}${recordingEnd}`)
    await backupRecording(path, target)
    return { name: `${name}${recordingEnd}`, path: target, contentType, release }
  } catch (error) {
    release()
    throw asDiskTrouble(error)
  }
}

/**
 * Takes a recording that someone brings into the data folder, under `id`. Nothing stays of a file that is no recording, whose
 * seals do not hold, or whose name is taken; nothing is ever written over. `size`: of what comes, bytes.
 */
export async function takeIn(folder: string, id: string, bytes: Readable, size: number): Promise<Outcome> {
  const target = join(folder, `${id}${recordingEnd}`)
  const taken = `${id} is taken: there is a recording of this name; give the file another name`
  if (existsSync(target)) return { ok: false, status: 409, errors: [taken] }
  const { bavail, bsize } = statfsSync(folder)
  if (size > (bavail * bsize) / 2)
    return refused(
      `${size} bytes are more than half of what is free; the other half is kept for the run that is recorded`,
    )
  const waiting = mkdtempSync(join(folder, '.taking-in-'))
  const partial = join(waiting, 'recording')
  let isLinked = false
  try {
    await pipeline(bytes, createWriteStream(partial, { flags: 'wx', flush: true }))
    openRecording(partial).close()
    const { seals, order, file } = verifySeals(partial)
    const faults = [...file.faults, ...seals.faults.map(({ text }) => text), ...order.faults.map(({ text }) => text)]
    if (faults.length > 0) return refused(`it was not taken in: ${faults.slice(0, 3).join('; ')}`)
    // A link, unlike a renaming, fails where someone else made the name in the meantime.
    linkSync(partial, target)
    isLinked = true
    mkdirSync(broughtAlongFolder(folder), { recursive: true })
    writeFileSync(join(broughtAlongFolder(folder), basename(target)), '', { flush: true })
    return { ok: true }
  } catch (error) {
    if (isLinked) rmSync(target)
    else if (existsSync(target)) return { ok: false, status: 409, errors: [taken] }
    return refused(`it was not taken in: ${errorText(error).replaceAll(partial, id)}`)
  } finally {
    rmSync(waiting, { recursive: true, force: true })
  }
}

const refused = (error: string): Outcome => ({ ok: false, status: 400, errors: [error] })

/** Removes a recording for good, its log with it. */
export function removeRecording(path: string): void {
  for (const end of ['-wal', '-shm', '']) rmSync(path + end, { force: true })
  rmSync(join(broughtAlongFolder(dirname(path)), basename(path)), { force: true })
}
