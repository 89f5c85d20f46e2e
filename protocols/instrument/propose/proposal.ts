import type { Basis, Origin, PhysicalQuantity } from '../../words/quantities.ts'
import type { Species } from '../../words/species.ts'
import type { Unit } from '../../words/units.ts'
import type { Form, Place } from '../form.ts'
import type { LineProfile } from '../profile.ts'
import type { RefusalReason } from '../reader.ts'

/** What was guessed, how sure that is (0…1: our own scale, for sorting what to look at first), and why, in words. */
export interface Guess {
  readonly what: string
  readonly value: string
  readonly confidence: number
  readonly reason: string
}

/** What a column seems to be. Null where its name does not tell. */
export type Meaning =
  | { readonly species: Species; readonly quantity?: never }
  | { readonly quantity: PhysicalQuantity; readonly species?: never }

export interface ProposedColumn {
  readonly at: Place
  /** As the lines call it; empty where they do not. */
  readonly label: string
  readonly role: 'time' | 'value' | 'status' | 'left-out'
  /** Its field in the profile; null for times and for what is left out. */
  readonly field: string | null
  readonly meaning: Meaning | null
  readonly unit: Unit | null
  /** Null where the lines do not tell. */
  readonly basis: Basis | null
  readonly origin: Origin
  readonly confidence: number
  readonly reason: string
  /** Status words of it that are not known. */
  readonly unknown: readonly string[]
  /** Up to three different texts of it. */
  readonly samples: readonly string[]
}

export interface SampleCounts {
  readonly given: number
  readonly read: number
  /** Comments, headings, blank lines. */
  readonly harmless: number
  readonly refused: Readonly<Partial<Record<RefusalReason, number>>>
}

export interface Proposal {
  readonly ok: true
  readonly profile: LineProfile
  /** The share of the lines that it reads, less what the form leaves open. */
  readonly confidence: number
  readonly guesses: readonly Guess[]
  readonly columns: readonly ProposedColumn[]
  /** One sentence for each thing that only a person can tell. */
  readonly unnamed: readonly string[]
  readonly lines: SampleCounts
  /** Median step of the lines’ own times; null without times. */
  readonly stepSeconds: number | null
}
export interface NoProposal {
  readonly ok: false
  /** Each form with why it does not fit. */
  readonly tried: readonly { readonly form: Form; readonly why: string }[]
  /** Words by which the lines begin, where they are of several kinds: a profile reads one kind. Most frequent first. */
  readonly kinds: readonly { readonly word: string; readonly count: number }[]
  readonly lines: { readonly given: number }
}

/** A column as a form cut it out: a text per sample line, null where the line has none. */
export interface SampledColumn {
  readonly at: Place
  readonly label: string
  readonly unitLabel: string
  readonly texts: readonly (string | null)[]
}

/** A form that may fit, with its own settings and the columns that it finds. */
export interface Layout {
  readonly form: Form
  readonly settings: Readonly<Record<string, unknown>>
  readonly columns: readonly SampledColumn[]
  readonly guesses: readonly Guess[]
  /** Sure signs of this form, 0…1; decides between forms that read equally much. */
  readonly likeness: number
}
export type LayoutResult = Layout | { readonly form: Form; readonly why: string }

export const placeText = (at: Place): string =>
  typeof at === 'number'
    ? `column ${at + 1}`
    : typeof at === 'string'
      ? `“${at}”`
      : `columns ${at.from} to ${at.from + at.length - 1}`
