import { isBlank, skipBlanks, standsAt } from './bytes.ts'
import { type Refusal, refusal } from './form.ts'
import { longestLineBytes } from './reader.ts'

/**
 * Cuts a line into columns. `starts` and `ends` hold the `count` columns of the line cut last, as bytes of `source`:
 * the line itself, or a copy without its quotes. A quote inside quotes is written twice (RFC 4180, section 2, 7).
 */
export class Columns {
  source: Uint8Array = new Uint8Array(0)
  readonly starts = new Int32Array(longestLineBytes + 1)
  readonly ends = new Int32Array(longestLineBytes + 1)
  count = 0
  /** Of the line cut last: how many columns stood in quotes, and whether one of them held the delimiter. */
  quoted = 0
  quotedDelimiter = false
  readonly #delimiter: Uint8Array
  /** One blank as the delimiter: any run of blanks. */
  readonly #isBlanks: boolean
  readonly #quote: number
  readonly #unquoted = new Uint8Array(longestLineBytes)
  #copied = 0

  /** `quote`: −1 where nothing is quoted. */
  constructor(delimiter: Uint8Array, quote: number) {
    this.#delimiter = delimiter
    this.#isBlanks = delimiter.length === 1 && delimiter[0] === 32
    this.#quote = quote
  }

  /** Cuts bytes [start, end); at most `longestLineBytes` of them. */
  cut(bytes: Uint8Array, start: number, end: number): Refusal | null {
    this.source = bytes
    this.count = 0
    this.quoted = 0
    this.quotedDelimiter = false
    if (this.#isBlanks) return this.#cutAtBlanks(bytes, start, end)
    return this.#delimiter.length === 1 ? this.#cutAtByte(bytes, start, end) : this.#cutSlowly(bytes, start, end)
  }

  #cutAtByte(bytes: Uint8Array, start: number, end: number): Refusal | null {
    const { starts, ends } = this
    const delimiter = this.#delimiter[0]
    const quote = this.#quote
    let count = 0
    let from = start
    for (let at = start; at < end; at++) {
      const value = bytes[at]
      if (value === delimiter) {
        starts[count] = from
        ends[count++] = at
        from = at + 1
      } else if (value === quote) return this.#cutSlowly(bytes, start, end)
    }
    starts[count] = from
    ends[count++] = end
    this.count = count
    return null
  }

  #cutAtBlanks(bytes: Uint8Array, start: number, end: number): Refusal | null {
    let count = 0
    for (let at = skipBlanks(bytes, start, end); at < end; at = skipBlanks(bytes, at, end)) {
      if (bytes[at] === this.#quote) return this.#cutSlowly(bytes, start, end)
      this.starts[count] = at
      while (at < end && !isBlank(bytes[at])) at++
      this.ends[count++] = at
    }
    this.count = count
    return null
  }

  /** Quotes and delimiters of more than one byte; the columns are copied, without their quotes. */
  #cutSlowly(bytes: Uint8Array, start: number, end: number): Refusal | null {
    this.source = this.#unquoted
    this.count = 0
    this.#copied = 0
    let at = this.#isBlanks ? skipBlanks(bytes, start, end) : start
    for (;;) {
      this.starts[this.count] = this.#copied
      const opening = skipSpaces(bytes, at, end)
      if (opening < end && bytes[opening] === this.#quote) {
        this.quoted++
        at = this.#copyQuoted(bytes, opening, end)
        if (at < 0)
          return refusal('unterminated_quote', `column ${this.count + 1} begins with a quote that does not end`)
        if (this.#delimiterAt(bytes, at, end) === 0) at = skipSpaces(bytes, at, end)
      } else
        while (at < end && this.#delimiterAt(bytes, at, end) === 0)
          this.#unquoted[this.#copied++] = bytes[at++] as number
      this.ends[this.count++] = this.#copied
      if (at >= end) return null
      const width = this.#delimiterAt(bytes, at, end)
      if (width === 0) return refusal('wrong_form', `text behind the quotes of column ${this.count}`)
      at += width
      if (this.#isBlanks && at >= end) return null
    }
  }

  /** Copies what stands between the quote at `opening` and the one that ends it; the place behind that one, −1 where none comes. */
  #copyQuoted(bytes: Uint8Array, opening: number, end: number): number {
    for (let at = opening + 1; at < end; at++) {
      if (bytes[at] === this.#quote) {
        const isTwice = at + 1 < end && bytes[at + 1] === this.#quote
        if (!isTwice) return at + 1
        at++
      } else if (bytes[at] === this.#delimiter[0]) this.quotedDelimiter = true
      this.#unquoted[this.#copied++] = bytes[at] as number
    }
    return -1
  }

  /** How many bytes of delimiter stand at `at`; 0 where none does. */
  #delimiterAt(bytes: Uint8Array, at: number, end: number): number {
    if (this.#isBlanks) return skipBlanks(bytes, at, end) - at
    return standsAt(bytes, at, end, this.#delimiter) ? this.#delimiter.length : 0
  }
}

/** Blanks but no tabs: those may be the delimiter. */
function skipSpaces(bytes: Uint8Array, start: number, end: number): number {
  while (start < end && bytes[start] === 32) start++
  return start
}
