import { closeSync, openSync, readSync } from 'node:fs'
import { open } from 'node:fs/promises'
import type { Piece } from '../../protocols/instrument/reader.ts'
import { type LineEnd, LineSplitter } from './line-splitter.ts'
import { fileTexts, SourceTrouble } from './trouble-texts.ts'

/** A line of a text log: a log knows no times of arrival. `bytes` is a view of a large chunk: copy what must last. */
export interface LogPiece {
  readonly bytes: Uint8Array
  readonly piece: Piece
}
export interface ReadLogOptions {
  readonly lineEnd?: LineEnd
  /** How far it has been read, after each chunk; for showing progress. */
  readonly onProgress?: (bytesRead: number) => void
}

const chunkBytes = 1024 * 1024
/** So much is cut at once: so few lines that they are done with, and none has to be moved, when memory is cleared next. */
const batchBytes = 32 * 1024

/**
 * All pieces of a log in order, from its start: the first line counts, an unended last one comes as `unended`. The quick
 * way, for a command or a worker, since it holds up its thread. Throws `SourceTrouble` where the file cannot be read.
 */
export function* readLogSync(path: string, options: ReadLogOptions = {}): Generator<LogPiece, void, undefined> {
  for (const batch of readLogBatches(path, options)) yield* batch
}

/** The same in batches of some hundreds: who goes through all lines of a night loses no time between one and the next. */
export function* readLogBatches(
  path: string,
  options: ReadLogOptions = {},
): Generator<readonly LogPiece[], void, undefined> {
  const splitter = new LineSplitter(options.lineEnd ?? 'auto', { first: false })
  let read = 0
  const handle = readable(path, () => openSync(path, 'r'))
  try {
    for (;;) {
      // A new chunk each time: pieces are views of it.
      const chunk = Buffer.allocUnsafeSlow(chunkBytes)
      const bytesRead = readable(path, () => readSync(handle, chunk, 0, chunkBytes, null))
      if (bytesRead === 0) break
      for (let from = 0; from < bytesRead; from += batchBytes)
        yield piecesOf(splitter, chunk.subarray(from, Math.min(from + batchBytes, bytesRead)))
      read += bytesRead
      options.onProgress?.(read)
    }
    yield lastOf(splitter)
  } finally {
    closeSync(handle)
  }
}

/** All pieces in batches, one per chunk of 1 MiB, without holding up the thread while the disk works. */
export async function* readLog(
  path: string,
  options: ReadLogOptions = {},
): AsyncGenerator<readonly LogPiece[], void, undefined> {
  const splitter = new LineSplitter(options.lineEnd ?? 'auto', { first: false })
  let read = 0
  const trouble = (error: unknown): never => {
    throw new SourceTrouble('file-unreadable', fileTexts.failed(path, error), { cause: error })
  }
  const handle = await open(path, 'r').catch(trouble)
  try {
    for (;;) {
      const chunk = Buffer.allocUnsafeSlow(chunkBytes)
      const { bytesRead } = await handle.read(chunk, 0, chunkBytes, null).catch(trouble)
      if (bytesRead === 0) break
      yield piecesOf(splitter, chunk.subarray(0, bytesRead))
      read += bytesRead
      options.onProgress?.(read)
    }
    const last = lastOf(splitter)
    if (last.length > 0) yield last
  } finally {
    await handle.close()
  }
}

function piecesOf(splitter: LineSplitter, chunk: Buffer): LogPiece[] {
  const pieces: LogPiece[] = []
  splitter.push(chunk, (bytes, piece) => pieces.push({ bytes, piece }))
  return pieces
}

function lastOf(splitter: LineSplitter): LogPiece[] {
  const pieces: LogPiece[] = []
  splitter.end((bytes, piece) => pieces.push({ bytes, piece }))
  return pieces
}

function readable<T>(path: string, read: () => T): T {
  try {
    return read()
  } catch (error) {
    throw new SourceTrouble('file-unreadable', fileTexts.failed(path, error), { cause: error })
  }
}
