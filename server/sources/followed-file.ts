import { constants } from 'node:fs'
import { type FileHandle, open } from 'node:fs/promises'

/** So much of a file's start, and of what was read last, is remembered to know the file again (our choice). */
const headBytes = 1024
const tailBytes = 256
const chunkBytes = 64 * 1024

export interface FileIdentity {
  readonly dev: number
  readonly ino: number
}
export const isSameFile = (a: FileIdentity, b: FileIdentity): boolean => a.dev === b.dev && a.ino === b.ino

/** `same`: at its end. `truncated` and `rewritten`: what was read no longer stands in it. */
export type FileNews =
  | { readonly state: 'same' }
  | { readonly state: 'grown'; readonly chunk: Buffer }
  | { readonly state: 'truncated' | 'rewritten'; readonly size: number }

/**
 * An open file that grows, and how far it has been read. Knows by size, by its first bytes and by the bytes before the
 * offset whether its content is still the one that was read: a size alone does not tell a file that was cut and has grown
 * past the old offset. Everything may reject with an I/O error.
 */
export class FollowedFile {
  readonly identity: FileIdentity
  #handle: FileHandle
  #offset = 0
  #head: Buffer = Buffer.alloc(0)
  #tail: Buffer = Buffer.alloc(0)
  #seenAtEnd = ''

  private constructor(handle: FileHandle, identity: FileIdentity) {
    this.#handle = handle
    this.identity = identity
  }

  /** `from`: its start, its end, or behind the first place where these bytes stand; where they do not, its start. */
  static async open(path: string, from: 'start' | 'end' | Buffer): Promise<FollowedFile> {
    const handle = await openToRead(path)
    try {
      const { dev, ino, size } = await handle.stat()
      const file = new FollowedFile(handle, { dev, ino })
      const offset = from === 'start' ? 0 : from === 'end' ? size : await file.#behind(from)
      if (offset > 0) {
        file.#offset = offset
        file.#head = await file.#bytesAt(0, Math.min(offset, headBytes))
        const length = Math.min(offset, tailBytes)
        file.#tail = await file.#bytesAt(offset - length, length)
      }
      return file
    } catch (error) {
      await handle.close()
      throw error
    }
  }

  get offset(): number {
    return this.#offset
  }

  /** The last byte before the offset; null at the file's start. */
  get byteBefore(): number | null {
    return this.#tail.at(-1) ?? null
  }

  /** The next bytes, at most 64 KiB, or why there are none. */
  async read(): Promise<FileNews> {
    const { size, mtimeMs, ctimeMs } = await this.#handle.stat()
    const seen = `${size} ${mtimeMs} ${ctimeMs}`
    if (seen === this.#seenAtEnd) return { state: 'same' }
    if (size < this.#offset) return { state: 'truncated', size }
    const head = await this.#bytesAt(0, this.#head.length)
    // In one go with what was read last: the file may be written anew between two reads.
    const bytes = await this.#bytesAt(this.#offset - this.#tail.length, this.#tail.length + chunkBytes)
    if (!head.equals(this.#head) || !bytes.subarray(0, this.#tail.length).equals(this.#tail))
      return { state: 'rewritten', size }
    const chunk = bytes.subarray(this.#tail.length)
    if (chunk.length === 0) {
      this.#seenAtEnd = seen
      return { state: 'same' }
    }
    if (this.#head.length < headBytes)
      this.#head = Buffer.concat([this.#head, chunk.subarray(0, headBytes - this.#head.length)])
    this.#tail = Buffer.from(bytes.subarray(-tailBytes))
    this.#offset += chunk.length
    return { state: 'grown', chunk }
  }

  /** Reads from its start again. */
  restart(): void {
    this.#offset = 0
    this.#head = Buffer.alloc(0)
    this.#tail = Buffer.alloc(0)
    this.#seenAtEnd = ''
  }

  /** Takes a new handle, if the name still leads to this file: handles on network disks go stale. */
  async renewHandle(path: string): Promise<void> {
    const handle = await openToRead(path)
    const old = isSameFile(this.identity, await handle.stat()) ? this.#handle : handle
    if (old !== handle) this.#handle = handle
    await old.close()
  }

  async close(): Promise<void> {
    await this.#handle.close()
  }

  async #behind(sought: Buffer): Promise<number> {
    for (let at = 0; ; at += chunkBytes) {
      const bytes = await this.#bytesAt(at, chunkBytes + sought.length)
      const found = bytes.indexOf(sought)
      if (found >= 0) return at + found + sought.length
      if (bytes.length < chunkBytes + sought.length) return 0
    }
  }

  async #bytesAt(position: number, length: number): Promise<Buffer> {
    const bytes = Buffer.allocUnsafe(length)
    const { bytesRead } = length > 0 ? await this.#handle.read(bytes, 0, length, position) : { bytesRead: 0 }
    return bytes.subarray(0, bytesRead)
  }
}

/** Not blocking: a file that turned into a pipe must not hold up a thread. */
const openToRead = (path: string): Promise<FileHandle> => open(path, constants.O_RDONLY | constants.O_NONBLOCK)
