import { type FileHandle, open } from 'node:fs/promises'
import type { Writable } from 'node:stream'
import { aborted, allBytes, allSequences, type LineLink, LinkOutOfReach, type Tell } from './link.ts'

const nothing = async (): Promise<void> => {}

/** Appends to a file, made where it is missing. A written line is sent. */
export function fileLink(path: string, tell: Tell): LineLink {
  let file: FileHandle | null = null
  return {
    name: `file ${path}`,
    batchBytes: 262_144,
    isUp: true,
    whenUp: nothing,
    takeDown: nothing,
    bringUp: nothing,
    settle: () => {},
    async open() {
      file = await open(path, 'a').catch((error: unknown) => {
        throw new LinkOutOfReach(`file ${path}`, error)
      })
    },
    async write(lines) {
      const bytes = allBytes(lines)
      for (let done = 0; file && done < bytes.length; ) done += (await file.write(bytes, done)).bytesWritten
      tell(allSequences(lines), true)
    },
    async close() {
      await file?.close()
    },
  }
}

/** Standard output, or any stream. When the reader goes, `onGone` is called and nothing more is written. */
export function streamLink(stream: Writable, tell: Tell, onGone: () => void): LineLink {
  let isGone = false
  return {
    name: 'standard output',
    batchBytes: 65_536,
    isUp: true,
    whenUp: nothing,
    takeDown: nothing,
    bringUp: nothing,
    settle: () => {},
    async open() {
      stream.on('error', () => {
        isGone = true
        onGone()
      })
    },
    async write(lines, signal) {
      const sequences = allSequences(lines)
      if (isGone) return tell(sequences, false)
      const abort = aborted(signal)
      const taken = new Promise<void>((resolve) => {
        stream.write(allBytes(lines), (error) => {
          tell(sequences, error ? 'unknown' : true)
          resolve()
        })
      })
      await Promise.race([taken, abort.promise])
      abort.done()
    },
    async close() {}, // every write was waited for, or the reader takes no more
  }
}
