import type { z } from 'zod'
import { dropBlanks, isBlank, skipBlanks, standsAt } from './bytes.ts'
import { DelimitedHeader } from './delimited-header.ts'
import { type FormReader, type LineForm, type Place, type ProfileProblem, type Refusal, refusal, type Spans } from './form.ts'
import type { delimitedProfile } from './profile.ts'
import { longestLineBytes } from './reader.ts'
import { encodeText } from './text-encoding.ts'

type DelimitedProfile = z.infer<typeof delimitedProfile>

const delimiterText = (profile: DelimitedProfile): string => (profile.delimiter === '\\t' ? '\t' : profile.delimiter)
const wrongColumns = (detail: string): Refusal => refusal('wrong_columns', detail)

/** Columns between delimiters: `20,9;112;7`. */
class DelimitedReader implements FormReader {
  readonly #delimiter: Uint8Array
  readonly #isBlanks: boolean
  /** −1 where the profile quotes nothing. */
  readonly #quote: number
  readonly #isExact: boolean
  readonly #header: DelimitedHeader
  /** Lines with quotes are written anew into this. */
  readonly #unquoted = new Uint8Array(longestLineBytes)
  /** Columns of the header or of the first sound line; −1 while neither has been. */
  #expected = -1
  #columns = 0
  /** The last column that is not empty, counted from 1. */
  #filled = 0

  constructor(profile: DelimitedProfile, places: readonly Place[]) {
    this.#delimiter = encodeText(delimiterText(profile), profile.encoding) ?? new Uint8Array()
    this.#isBlanks = profile.delimiter === ' '
    this.#quote = profile.quote === '' ? -1 : profile.quote.charCodeAt(0)
    this.#isExact = profile.columns === 'exactly'
    this.#header = new DelimitedHeader(profile, places, (bytes, start, end) => this.#columnTexts(bytes, start, end))
    this.reset()
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    if (this.#header.isAwaited || this.#header.mayBe(bytes, start, end)) {
      const refused = this.#header.read(bytes, start, end)
      if (refused) return this.#adopt(refused)
    }
    spans.source = bytes
    const refused = this.#split(bytes, start, end, spans)
    if (refused) return refused
    return this.#columns < this.#header.needed || this.#isExact ? this.#checkColumns() : null
  }

  recognise(bytes: Uint8Array, start: number, end: number): Refusal | null {
    const refused = this.#header.recognise(bytes, start, end)
    return refused && this.#adopt(refused)
  }

  confirm(): void {
    if (this.#expected < 0) this.#expected = this.#columns
  }

  reset(): void {
    this.#header.reset()
    this.#expected = -1
  }

  #adopt(refused: Refusal): Refusal {
    if (this.#header.columns >= 0) this.#expected = this.#header.columns
    return refused
  }

  /** Empty columns at the end are no columns too many: many writers end each line with a delimiter. */
  #checkColumns(): Refusal | null {
    const { needed } = this.#header
    if (this.#columns < needed) return wrongColumns(`${this.#columns} columns where ${needed} are needed`)
    const isOther = this.#expected >= 0 && (this.#columns < this.#expected || this.#filled > this.#expected)
    return isOther ? wrongColumns(`${this.#columns} columns where ${this.#expected} are expected`) : null
  }

  #split(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    if (this.#isBlanks) return this.#splitAtBlanks(bytes, start, end, spans)
    if (this.#delimiter.length > 1) return this.#splitSlowly(bytes, start, end, spans)
    const delimiter = this.#delimiter[0]
    const quote = this.#quote
    const slots = this.#header.slots
    let column = 0
    let from = start
    this.#filled = 0
    for (let at = start; at < end; at++) {
      const value = bytes[at]
      if (value === delimiter) {
        this.#put(spans, slots, column++, from, at)
        from = at + 1
      } else if (value === quote) return this.#splitSlowly(bytes, start, end, spans)
    }
    this.#put(spans, slots, column, from, end)
    this.#columns = column + 1
    return null
  }

  #put(spans: Spans, slots: Int16Array, column: number, start: number, end: number): void {
    if (end > start) this.#filled = column + 1
    if (column >= slots.length) return
    for (let slot = slots[column] as number; slot >= 0; slot = this.#header.nextSlots[slot] as number) {
      spans.starts[slot] = start
      spans.ends[slot] = end
    }
  }

  #splitAtBlanks(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    let column = 0
    this.#filled = 0
    for (let at = skipBlanks(bytes, start, end); at < end; ) {
      const from = at
      if (bytes[at] === this.#quote) return this.#splitSlowly(bytes, start, end, spans)
      while (at < end && !isBlank(bytes[at])) at++
      this.#put(spans, this.#header.slots, column++, from, at)
      at = skipBlanks(bytes, at, end)
    }
    this.#columns = column
    return null
  }

  /** Long delimiters and quotes (RFC 4180: a quote inside quotes is written twice). Columns go into a buffer without their quotes. */
  #splitSlowly(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    const text = this.#unquoted
    spans.source = text
    this.#filled = 0
    let length = 0
    let column = 0
    let at = start
    for (;;) {
      const from = length
      const first = skipBlanks(bytes, at, end)
      if (first < end && bytes[first] === this.#quote) {
        for (at = first + 1; ; at++) {
          if (at >= end) return refusal('unterminated_quote', `column ${column + 1} begins with a quote that does not end`)
          if (bytes[at] === this.#quote && bytes[++at] !== this.#quote) break
          if (at > end) return refusal('unterminated_quote', `column ${column + 1} begins with a quote that does not end`)
          text[length++] = bytes[at] as number
        }
        const behind = skipBlanks(bytes, Math.min(at, end), end)
        if (behind < end && this.#delimiterAt(bytes, behind, end) === 0 && !this.#isBlanks) return refusal('wrong_form', `text behind the quotes of column ${column + 1}`)
        at = this.#isBlanks ? at : behind
      } else for (; at < end && this.#delimiterAt(bytes, at, end) === 0; at++) text[length++] = bytes[at] as number
      this.#put(spans, this.#header.slots, column++, from, length)
      if (at >= end) break
      at += this.#delimiterAt(bytes, at, end)
    }
    this.#columns = column
    return null
  }
}
