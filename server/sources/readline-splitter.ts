import type { ReadlineParser as Parser } from '@serialport/parser-readline'
import { longestLineBytes } from '../../protocols/instrument/reader.ts'
import {
  continuedLength,
  type LineEnd,
  PieceKinds,
  type PieceSplitter,
  type TakePiece,
  terminators,
} from './line-splitter.ts'

const carriageReturn = 0x0d
const lineFeed = 0x0a

/**
 * The serial port's splitter: the ReadlineParser of the serialport packages with a byte limit before it, so that it can
 * never hold more than one longest line. One per open, since the parser keeps a half line over a close. Latin-1 stands
 * for one character per byte: the text becomes the same bytes again. Gives what `LineSplitter` gives.
 */
export class ReadlineSplitter implements PieceSplitter {
  readonly #makeParser: () => Parser
  readonly #terminator: string
  readonly #kinds: PieceKinds
  #parser: Parser
  #pending = 0
  #endsInCarriageReturn = false

  constructor(ReadlineParser: typeof Parser, lineEnd: LineEnd, options: { readonly first: boolean }) {
    this.#terminator = terminators[lineEnd]
    this.#kinds = new PieceKinds(options.first)
    // Object mode keeps the lines apart when they are read at once, which is how each gets its true time of arrival.
    this.#makeParser = () =>
      new ReadlineParser({
        delimiter: this.#terminator,
        encoding: 'latin1',
        includeDelimiter: true,
        readableObjectMode: true,
      })
    this.#parser = this.#makeParser()
  }

  push(chunk: Uint8Array, take: TakePiece): void {
    const bytes = Buffer.from(chunk.buffer, chunk.byteOffset, chunk.byteLength)
    let written = 0
    let from = 0
    let end = this.#endOf(bytes, 0)
    while (from < bytes.length) {
      const room = longestLineBytes - this.#pending
      const length = (end ?? bytes.length) - from
      if (end !== null && length <= room) {
        this.#pending = 0
        from = end
        end = this.#endOf(bytes, from)
      } else if (length >= room) {
        const segment = bytes.subarray(from, from + room)
        from += continuedLength(segment, this.#terminator)
        this.#write(bytes.subarray(written, from), take)
        written = from
        this.#cut(take)
      } else {
        this.#pending += length
        from = bytes.length
      }
    }
    this.#write(bytes.subarray(written), take)
    if (bytes.length > 0) this.#endsInCarriageReturn = bytes[bytes.length - 1] === carriageReturn
  }

  end(take: TakePiece): void {
    for (const rest of this.#handOver()) take(rest, 'unended')
  }

  #write(bytes: Buffer, take: TakePiece): void {
    if (bytes.length === 0) return
    this.#parser.write(bytes)
    for (const line of linesOf(this.#parser)) take(line, this.#kinds.ended())
  }

  #cut(take: TakePiece): void {
    for (const rest of this.#handOver()) take(rest, this.#kinds.cut())
  }

  /** The parser's unfinished line; ended, it hands it over. */
  #handOver(): Buffer[] {
    this.#parser.end()
    const rest = linesOf(this.#parser)
    this.#parser = this.#makeParser()
    this.#pending = 0
    return rest
  }

  /** The place behind the next terminator, or null; it may have begun in the chunk before. */
  #endOf(bytes: Buffer, from: number): number | null {
    if (
      this.#terminator === '\r\n' &&
      from === 0 &&
      this.#pending > 0 &&
      this.#endsInCarriageReturn &&
      bytes[0] === lineFeed
    )
      return 1
    const found = bytes.indexOf(this.#terminator, from, 'latin1')
    return found < 0 ? null : found + this.#terminator.length
  }
}

function linesOf(parser: Parser): Buffer[] {
  const lines: Buffer[] = []
  for (let text: string | null = parser.read(); text !== null; text = parser.read()) {
    if (text.length > 0) lines.push(Buffer.from(text, 'latin1'))
  }
  return lines
}
