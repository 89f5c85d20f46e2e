import type { z } from 'zod'
import { byte, copyOf, dropBlanks, isPartOfNumber, isText, skipBlanks } from './bytes.ts'
import { Columns } from './columns.ts'
import {
  type FormReader,
  type LineForm,
  type LooseText,
  type Place,
  type ProfileProblem,
  type Refusal,
  refusal,
  type Spans,
} from './form.ts'
import type { delimitedProfile } from './profile.ts'
import { decodeText, encodeText } from './text-encoding.ts'

type DelimitedProfile = z.infer<typeof delimitedProfile>

const delimiterText = (profile: DelimitedProfile): string => (profile.delimiter === '\\t' ? '\t' : profile.delimiter)
const nothing: Uint8Array = new Uint8Array(0)

/** Columns between delimiters: `20,9;112;7`. Columns are found by position or by their heading. */
class DelimitedReader implements FormReader {
  readonly #profile: DelimitedProfile
  readonly #places: readonly Place[]
  readonly #columns: Columns
  readonly #isExact: boolean
  /** Whether it is known where columns end: not from the delimiter alone where that stands inside numbers too. */
  #endsAreKnown = true
  /** The column of each place; −1 while the header that names it has not come. */
  readonly #columnOf: Int32Array
  /** So many columns hold all places. */
  #needed = 0
  /** Columns of the header or of the first sound line; −1 while neither has come. */
  #expected = -1
  #awaits: 'header' | 'units' | 'data' = 'data'
  #header: Uint8Array = nothing
  #units: Uint8Array = nothing

  constructor(profile: DelimitedProfile, places: readonly Place[]) {
    this.#profile = profile
    this.#places = places
    this.#columns = new Columns(
      encodeText(delimiterText(profile), profile.encoding) ?? nothing,
      profile.quote === '' ? -1 : profile.quote.charCodeAt(0),
    )
    this.#isExact = profile.columns === 'exactly'
    this.#columnOf = new Int32Array(places.length)
    this.reset()
  }

  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null {
    if (this.#awaits !== 'data') return this.#readFirstRows(bytes, start, end)
    if (end - start === this.#header.length && isText(bytes, start, end, this.#header))
      return refusal('header', 'the header again')
    if (end - start === this.#units.length && isText(bytes, start, end, this.#units))
      return refusal('header', 'the row of units again')
    const columns = this.#columns
    const refused = columns.cut(bytes, start, end) ?? this.#checkEnds() ?? this.#checkCount()
    if (refused) return refused
    spans.source = columns.source
    const columnOf = this.#columnOf
    for (let place = 0; place < columnOf.length; place++) {
      const column = columnOf[place] as number
      spans.starts[place] = columns.starts[column] as number
      spans.ends[place] = columns.ends[column] as number
    }
    return null
  }

  /** A header with other columns, or with the same in another order, is a header all the same. */
  recognise(bytes: Uint8Array, start: number, end: number): Refusal | null {
    return this.#profile.header && this.#namesColumns() ? this.#readHeader(bytes, start, end) : null
  }

  loose(): LooseText | null {
    const { starts, ends, count } = this.#columns
    const delimiter = delimiterText(this.#profile)
    const isOdd = this.#isExact && this.#expected >= 0 && count !== this.#expected
    if (isOdd || isPartOfNumber(delimiter, this.#profile.decimal)) return null
    const stretches = Array.from({ length: count }, (_, column) => column)
      .filter((column) => !this.#columnOf.includes(column))
      .map((column) => [starts[column] as number, ends[column] as number] as const)
    return {
      stretches,
      ends: delimiter.charCodeAt(0),
      quote: this.#profile.quote === '' ? -1 : this.#profile.quote.charCodeAt(0),
      mayBeEmpty: delimiter.charCodeAt(0) !== byte.blank,
      isPadded: delimiter.charCodeAt(0) !== byte.blank,
      others: [this.#header, this.#units],
    }
  }

  confirm(): void {
    if (this.#expected < 0) this.#expected = this.#columns.count
  }

  reset(): void {
    this.#endsAreKnown = this.#profile.delimiter !== this.#profile.decimal
    this.#awaits = this.#profile.header ? 'header' : this.#profile.unitsRow ? 'units' : 'data'
    this.#header = nothing
    this.#units = nothing
    this.#expected = -1
    for (const [place, at] of this.#places.entries()) this.#columnOf[place] = typeof at === 'number' ? at : -1
    this.#needed = Math.max(0, ...this.#columnOf) + 1
  }

  /**
   * Who quotes only what holds the delimiter writes `20,112` as it is; who quotes nothing writes 20.9 and 11.2 as `20,9,11,2`.
   * No line counts before it is known which of them writes: by a delimiter within quotes, a line all in quotes, or a header
   * that tells how many columns there are.
   */
  #checkEnds(): Refusal | null {
    const { quoted, quotedDelimiter, count } = this.#columns
    this.#endsAreKnown ||= quotedDelimiter || quoted === count
    if (this.#endsAreKnown) return null
    const { decimal } = this.#profile
    return refusal('wrong_columns', `“${decimal}” is the decimal mark too, and no number with it stood in quotes yet`)
  }

  /** Empty columns at the end are none too many: some writers end each line with a delimiter. */
  #checkCount(): Refusal | null {
    const { count } = this.#columns
    if (count < this.#needed) return refusal('wrong_columns', `${count} columns where ${this.#needed} are needed`)
    if (!this.#isExact || this.#expected < 0 || count === this.#expected) return null
    const fits = count > this.#expected && this.#filledColumns() <= this.#expected
    return fits ? null : refusal('wrong_columns', `${count} columns where ${this.#expected} are expected`)
  }

  /** Columns without the empty ones at the end. */
  #filledColumns(): number {
    const { source, starts, ends } = this.#columns
    let count = this.#columns.count
    while (count > 0 && skipBlanks(source, starts[count - 1] as number, ends[count - 1] as number) === ends[count - 1])
      count--
    return count
  }

  #namesColumns(): boolean {
    return this.#places.some((at) => typeof at === 'string')
  }

  #readFirstRows(bytes: Uint8Array, start: number, end: number): Refusal {
    if (this.#awaits === 'units') {
      this.#awaits = 'data'
      this.#units = copyOf(bytes, start, end)
      return refusal('header', 'the row of units')
    }
    return (
      this.#readHeader(bytes, start, end) ??
      refusal('wrong_columns', `no header yet: ${this.#missingHeading()} does not stand in this line`)
    )
  }

  /** Takes the line for a header if it names all the columns that the profile asks for. */
  #readHeader(bytes: Uint8Array, start: number, end: number): Refusal | null {
    if (this.#columns.cut(bytes, start, end)) return null
    const headings = this.#headings()
    const named = this.#places.map((at) => (typeof at === 'string' ? headings.indexOf(at.trim()) : (at as number)))
    if (named.includes(-1)) return null
    this.#columnOf.set(named)
    this.#needed = Math.max(0, ...named) + 1
    this.#expected = this.#filledColumns()
    this.#endsAreKnown ||= this.#isExact
    this.#header = copyOf(bytes, start, end)
    this.#units = nothing
    this.#awaits = this.#profile.unitsRow ? 'units' : 'data'
    return refusal('header', 'the columns’ headings')
  }

  #headings(): string[] {
    const { source, starts, ends, count } = this.#columns
    return Array.from({ length: count }, (_, column) => {
      const start = skipBlanks(source, starts[column] as number, ends[column] as number)
      return decodeText(source, start, dropBlanks(source, start, ends[column] as number), this.#profile.encoding)
    })
  }

  #missingHeading(): string {
    const headings = this.#headings()
    return `“${this.#places.find((at) => typeof at === 'string' && !headings.includes(at.trim()))}”`
  }
}

export const delimited: LineForm<DelimitedProfile> = {
  form: 'delimited',
  places: { kinds: ['position', 'name'], text: 'a position counted from 0, or the column’s heading' },
  spansIn: 'profile',
  check(profile, places) {
    const problems: ProfileProblem[] = []
    if (profile.delimiter === profile.decimal && profile.quote === '')
      problems.push({
        path: 'delimiter',
        message: `“${profile.delimiter}” is the decimal mark too; that can be read only where numbers stand in quotes: set "quote"`,
      })
    if (profile.quote !== '' && profile.delimiter.includes(profile.quote))
      problems.push({ path: 'quote', message: `“${profile.quote}” is the delimiter too` })
    for (const { path, at } of profile.header ? [] : places)
      if (typeof at === 'string')
        problems.push({
          path,
          message: `“${at}” is a heading, but the profile has no header: set "header": true or give the position`,
        })
    return problems
  },
  compile: (profile, places) => new DelimitedReader(profile, places),
}
