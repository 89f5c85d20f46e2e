import type { InstrumentFault, PlantState, ToldPhase } from '../words/phases.ts'
import type { ProfileField } from './profile.ts'

/** What a stored piece of a stream is. Only `whole` is read as a line by default. */
export const pieces = [
  'whole', // a line with its terminator
  'first', // the first piece after a serial or TCP open: it may be half a line and takes no part
  'continued', // a piece of an over-long line; more follows
  'continuation-end', // the last piece of an over-long line
  'unended', // the source ended or was lost before the terminator came
] as const
export type Piece = (typeof pieces)[number]

/** A line may be this long, terminator included; longer ones are kept in pieces and take no part. */
export const longestLineBytes = 4096

/** Why a line takes no part. Each is counted under its own name. */
export const refusalReasons = [
  'half_line',
  'too_long',
  'nul_bytes',
  'broken_encoding',
  'comment',
  'header',
  'blank',
  'wrong_form',
  'wrong_columns',
  'checksum_wrong',
  'checksum_missing',
  'unreadable_time',
  'unreadable_number',
  'nothing_readable',
  'out_of_order',
  'time_ahead',
  'duplicate',
  'unterminated_quote',
] as const
export type RefusalReason = (typeof refusalReasons)[number]
/** The same in words, for screens and for what the commands print. */
export const refusalWords: Readonly<Record<RefusalReason, string>> = {
  half_line: 'half a line',
  too_long: 'too long',
  nul_bytes: 'zero bytes in the line',
  broken_encoding: 'letters that the encoding does not have',
  comment: 'a comment',
  header: 'headings',
  blank: 'blank',
  wrong_form: 'not in the form of the profile',
  wrong_columns: 'another number of columns',
  checksum_wrong: 'wrong checksum',
  checksum_missing: 'no checksum',
  unreadable_time: 'time not readable',
  unreadable_number: 'number not readable',
  nothing_readable: 'nothing in it can be read',
  out_of_order: 'not later than the line before',
  time_ahead: 'too far ahead of the line before',
  duplicate: 'sent again',
  unterminated_quote: 'a quotation mark without its end',
}
/** Refusals that are no sign of trouble: they do not count towards the rate of unparsable lines. */
export const harmlessRefusals: ReadonlySet<RefusalReason> = new Set(['comment', 'header', 'blank', 'duplicate'])
/** Whether a refused piece is a sign of trouble. The first one after a link opened is not: it may well be half a line. */
export const isSignOfTrouble = (reason: RefusalReason, piece: Piece): boolean =>
  piece !== 'first' && !harmlessRefusals.has(reason)

/** Why a field has no value; `value` when it has one. Stored in a byte array beside the values. */
export const fieldFlag = { value: 0, missing: 1, over: 2, under: 3, unreadable: 4, absent: 5 } as const
export type FieldFlag = (typeof fieldFlag)[keyof typeof fieldFlag]

/** What one status token told. */
export interface StatusTold {
  readonly token: string
  readonly known: boolean
  /** Not known to a rule that tells phases: what the instrument does is then not known either. */
  readonly hidesPhase?: boolean | undefined
  readonly phase?: ToldPhase | undefined
  readonly fault?: InstrumentFault | undefined
  readonly clears?: boolean | undefined
  readonly plant?: PlantState | undefined
}

/** The content of one line. One object per reader, overwritten by each line: copy what must last. */
export interface LineContent {
  /** One per profile field, in the profile's order; NaN where there is no value. */
  readonly values: Float64Array
  /** A `fieldFlag` per field. */
  readonly flags: Uint8Array
  /** The line's own time, ms since 1970 UTC; NaN where the profile has no time. */
  lineTimeMs: number
  /** What status tokens told, in the line's order; the same empty array when nothing did. */
  status: readonly StatusTold[]
  /** The dilution factor told in the line; NaN where none was. */
  dilutionFactor: number
}

export type LineOutcome =
  | { readonly ok: true }
  | { readonly ok: false; readonly reason: RefusalReason; readonly detail: string }

/**
 * Reads the lines of one stream in order. Never throws, whatever the bytes; O(length of the line).
 * It holds little state: the header once seen, the date for times of day. Not shared between streams.
 */
export interface LineReader {
  readonly fields: readonly ProfileField[]
  readonly content: LineContent
  /** Whether the line's time has no date of its own and takes it from the time of arrival. */
  readonly datesByArrival: boolean
  /** `atMs`: time of arrival, gives the date to times without one. `bytes` with or without the terminator. */
  read(bytes: Uint8Array, atMs: number, piece: Piece): LineOutcome
  /** As `reader` was made: for a replay from the start. */
  reset(): void
}

export interface ReaderOptions {
  /** The station's zone for times without one of their own. */
  readonly stationZone: string
  /** Whether an unended last piece counts (on import only). */
  readonly unendedCounts?: boolean
}
