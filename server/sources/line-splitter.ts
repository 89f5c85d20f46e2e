import { longestLineBytes, type Piece } from '../../protocols/instrument/reader.ts'
import type { LineSource } from '../engine/settings/line-sources.ts'

export type LineEnd = Extract<LineSource, { kind: 'tcp' }>['lineEnd']
export type TakePiece = (bytes: Uint8Array, piece: Piece) => void

/** Bytes in, pieces out. The pieces put together are the bytes that went in: nothing is lost, cut off or added. */
export interface PieceSplitter {
  /** Gives each piece that became complete, in order, terminator included. */
  push(chunk: Uint8Array, take: TakePiece): void
  /** Gives what has no end yet as `unended`; the splitter begins anew. */
  end(take: TakePiece): void
}

/** `auto` ends at LF as `lf` does: a CR before it stays in the bytes, and the profile's reader cuts it off. */
export const terminators: Readonly<Record<LineEnd, string>> = { auto: '\n', lf: '\n', cr: '\r', crlf: '\r\n' }
const carriageReturn = 0x0d

/** How much of `full` becomes a `continued` piece: all of it, unless that would part a CR from its LF. */
export const continuedLength = (full: Uint8Array, terminator: string): number =>
  terminator === '\r\n' && full[full.length - 1] === carriageReturn ? full.length - 1 : full.length

/** What a piece with its terminator is, told by what went before it in the stream. */
export class PieceKinds {
  #first: boolean
  #continues = false

  /** `first`: the first line may be half a line, since the stream was joined while it ran. */
  constructor(first: boolean) {
    this.#first = first
  }

  ended(): Piece {
    const piece = this.#continues ? 'continuation-end' : this.#first ? 'first' : 'whole'
    this.#first = this.#continues = false
    return piece
  }

  cut(): Piece {
    this.#continues = true
    return 'continued'
  }
}

/**
 * Cuts bytes into lines. The pieces do not depend on how the bytes were cut into chunks. A line above `longestLineBytes`
 * comes as `continued` pieces of that length and a `continuation-end`. Holds no more than one such piece, whatever comes.
 * Pieces are views of the chunk where they lie in one chunk: copy what must outlast it.
 */
export class LineSplitter implements PieceSplitter {
  readonly #terminator: string
  readonly #kinds: PieceKinds
  readonly #held = Buffer.allocUnsafe(longestLineBytes)
  #heldBytes = 0

  constructor(lineEnd: LineEnd, options: { readonly first: boolean }) {
    this.#terminator = terminators[lineEnd]
    this.#kinds = new PieceKinds(options.first)
  }

  push(chunk: Uint8Array, take: TakePiece): void {
    // Asked for once: a view made by `subarray` asks for it each time, which takes as long as the rest of making one.
    const { buffer, byteOffset } = chunk
    const bytes = Buffer.from(buffer, byteOffset, chunk.byteLength)
    let from = this.#heldBytes > 0 ? this.#finishHeld(bytes, take) : 0
    let end = this.#endOf(bytes, from)
    while (from < bytes.length) {
      const length = (end ?? bytes.length) - from
      if (end !== null && length <= longestLineBytes) {
        take(new Uint8Array(buffer, byteOffset + from, length), this.#kinds.ended())
        from = end
        end = this.#endOf(bytes, from)
      } else if (length >= longestLineBytes) {
        const cut = continuedLength(bytes.subarray(from, from + longestLineBytes), this.#terminator)
        take(bytes.subarray(from, from + cut), this.#kinds.cut())
        from += cut
      } else {
        this.#heldBytes = bytes.copy(this.#held, 0, from)
        return
      }
    }
  }

  end(take: TakePiece): void {
    if (this.#heldBytes > 0) take(this.#takeHeld(this.#heldBytes), 'unended')
  }

  /** Adds to the held piece until it is given away; returns how many bytes of the chunk were used. */
  #finishHeld(bytes: Buffer, take: TakePiece): number {
    let from = 0
    while (this.#heldBytes > 0 && from < bytes.length) {
      const before = this.#heldBytes
      const added = bytes.copy(this.#held, before, from, from + longestLineBytes - before)
      const full = this.#held.subarray(0, before + added)
      const end = this.#endOf(full, Math.max(0, before + 1 - this.#terminator.length))
      this.#heldBytes = full.length
      if (end !== null) {
        // What was copied behind the terminator is read from the chunk again.
        from += end - before
        this.#heldBytes = end
        take(this.#takeHeld(end), this.#kinds.ended())
      } else {
        from += added
        if (full.length === longestLineBytes)
          take(this.#takeHeld(continuedLength(full, this.#terminator)), this.#kinds.cut())
      }
    }
    return from
  }

  #takeHeld(length: number): Buffer {
    const piece = Buffer.from(this.#held.subarray(0, length))
    this.#held.copyWithin(0, length, this.#heldBytes)
    this.#heldBytes -= length
    return piece
  }

  /** The place behind the next terminator, or null. */
  #endOf(bytes: Buffer, from: number): number | null {
    const found =
      this.#terminator.length === 1
        ? bytes.indexOf(this.#terminator.charCodeAt(0), from)
        : bytes.indexOf(this.#terminator, from, 'latin1')
    return found < 0 ? null : found + this.#terminator.length
  }
}
