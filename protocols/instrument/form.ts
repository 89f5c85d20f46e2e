import type { LineProfile, ProfileField } from './profile.ts'
import type { RefusalReason } from './reader.ts'

export type Form = LineProfile['form']
/** Where a field or a time stands, as the profile says it: a position, a name, or columns. */
export type Place = ProfileField['at']

/** What is wrong in a profile and where: `fields[2].at`. */
export interface ProfileProblem {
  readonly path: string
  readonly message: string
}

export interface Refusal {
  readonly ok: false
  readonly reason: RefusalReason
  readonly detail: string
}
export const refusal = (reason: RefusalReason, detail: string): Refusal => ({ ok: false, reason, detail })

/**
 * Where the places stand in the line that was read last: bytes [starts, ends) of `source`, in the order of the
 * places; a start of −1 where the line has none. One object per reader, overwritten by each line; no text is made.
 */
export interface Spans {
  /** The line itself, or the form's own buffer where it had to write the line anew. */
  source: Uint8Array
  readonly starts: Int32Array
  readonly ends: Int32Array
}

/** Text of a line that no place holds and that may differ from line to line. */
export interface LooseText {
  /** Bytes [start, end) each, in order. */
  readonly stretches: readonly (readonly [start: number, end: number])[]
  /** The byte that ends such a text, and the one that would make it quoted (−1 for none). */
  readonly ends: number
  readonly quote: number
  /** Whether such a text may be empty: between blanks it cannot. */
  readonly mayBeEmpty: boolean
  /** Whether blanks around a value mean nothing. */
  readonly isPadded: boolean
  /** Lines that mean something else, though they may look alike: a header of numbers. */
  readonly others: readonly Uint8Array[]
}

/** Finds the places in the lines of one stream, in order. May remember a header; never throws. */
export interface FormReader {
  /** Fills every place of `spans` from bytes [start, end); null when it could, else why not. O(length of the line). */
  read(bytes: Uint8Array, start: number, end: number, spans: Spans): Refusal | null
  /** A line in which nothing could be read may yet be one that the form knows, as a new header. */
  recognise?(bytes: Uint8Array, start: number, end: number): Refusal | null
  /**
   * Of the line read last, bytes [start, end): what another line may differ in beside its values without being cut in
   * another way. null where that cannot be said; such lines, and those of forms without this, are read one by one.
   */
  loose?(bytes: Uint8Array, start: number, end: number): LooseText | null
  /** The last line was read without fault: what it looks like may be remembered. */
  confirm?(): void
  reset(): void
}

/** A form of lines. To add one: its settings in `profile.ts`, a file like `fixed-width.ts`, a line in `forms.ts`. */
export interface LineForm<P extends LineProfile = LineProfile> {
  readonly form: P['form']
  /** Which kinds of `at` fit, and how to say so. */
  readonly places: { readonly kinds: readonly ('position' | 'name' | 'columns')[]; readonly text: string }
  /** Encoding of the bytes that `spans` point at: the profile’s, or always UTF-8 where the form writes them anew. */
  readonly spansIn: 'profile' | 'utf-8'
  /** What is wrong with the form's own settings; `place` pairs each place with its path. */
  check(profile: P, places: readonly { readonly path: string; readonly at: Place }[]): ProfileProblem[]
  /** `places`: those of the fields in the profile's order, then those of the time. Only for a profile without problems. */
  compile(profile: P, places: readonly Place[]): FormReader
}
