import { byte, skipBlanks, standsAt } from './bytes.ts'
import { checkProfile, placesOf } from './check-profile.ts'
import { Checksum } from './checksum.ts'
import { FieldValues } from './field-values.ts'
import { type FormReader, type Refusal, refusal, type Spans } from './form.ts'
import { formOf, type LineForms, lineForms } from './forms.ts'
import { LineShape } from './line-shape.ts'
import type { LineProfile, ProfileField } from './profile.ts'
import {
  fieldFlag,
  type LineContent,
  type LineOutcome,
  type LineReader,
  longestLineBytes,
  type Piece,
  type ReaderOptions,
} from './reader.ts'
import { nothingTold, StatusTokens } from './status-tokens.ts'
import { encodeText, isUtf8 } from './text-encoding.ts'
import { TimeField } from './time-field.ts'

const sound: LineOutcome = { ok: true }
const pieceRefusals: Readonly<Record<Exclude<Piece, 'whole'>, Refusal>> = {
  first: refusal('half_line', 'first piece after the link opened, may be half a line'),
  continued: refusal('too_long', `longer than ${longestLineBytes} bytes`),
  'continuation-end': refusal('too_long', `longer than ${longestLineBytes} bytes`),
  unended: refusal('half_line', 'the line did not end'),
}
const blank = refusal('blank', '')
const nulBytes = refusal('nul_bytes', 'NUL characters: often a wrong baud rate')
const brokenEncoding = refusal('broken_encoding', 'no UTF-8: a wrong baud rate, or another encoding')
const checksumMissing = refusal('checksum_missing', 'no checksum at the end')
const checksumWrong = refusal('checksum_wrong', 'the checksum does not fit the line')
const nothingReadable = refusal('nothing_readable', 'no field holds a value')
const unreadableTime = refusal('unreadable_time', 'the time is not in the profile’s format')
const commentLine = refusal('comment', '')

/** Reads lines by a profile. The order: piece, bytes, rows to skip, blank, comment, checksum, form, time, fields, status. */
class ProfileReader implements LineReader {
  readonly fields: readonly ProfileField[]
  readonly content: LineContent
  readonly datesByArrival: boolean
  readonly #profile: LineProfile
  readonly #unendedCounts: boolean
  readonly #form: FormReader
  readonly #spans: Spans
  readonly #values: FieldValues
  readonly #status: StatusTokens
  readonly #time: TimeField | null
  readonly #checksum: Checksum | null
  readonly #comments: readonly Uint8Array[]
  readonly #dilutionField: number
  readonly #shape: LineShape
  readonly #isNumber: Uint8Array
  #rows = 0

  constructor(profile: LineProfile, options: ReaderOptions, forms: LineForms) {
    const form = formOf(profile, forms)
    const places = placesOf(profile).map(({ at }) => at)
    const spansIn = form.spansIn === 'utf-8' ? 'utf-8' : profile.encoding
    this.fields = profile.fields
    this.content = {
      values: new Float64Array(profile.fields.length).fill(Number.NaN),
      flags: new Uint8Array(profile.fields.length).fill(fieldFlag.absent),
      lineTimeMs: Number.NaN,
      status: nothingTold,
      dilutionFactor: Number.NaN,
    }
    this.#profile = profile
    this.#unendedCounts = options.unendedCounts ?? false
    this.#form = form.compile(profile, places)
    this.#spans = {
      source: new Uint8Array(0),
      starts: new Int32Array(places.length).fill(-1),
      ends: new Int32Array(places.length),
    }
    this.#values = new FieldValues(profile, spansIn)
    this.#status = new StatusTokens(profile, spansIn)
    this.#time = profile.time
      ? new TimeField(profile.time, profile.fields.length, profile.decimal, options.stationZone)
      : null
    this.datesByArrival = this.#time?.datesByArrival ?? false
    this.#checksum = profile.checksum ? new Checksum(profile.checksum, profile.encoding) : null
    this.#comments = profile.comment.map((text) => encodeText(text, profile.encoding) ?? new Uint8Array(0))
    this.#shape = new LineShape(profile.fields.length, profile.decimal.charCodeAt(0))
    this.#isNumber = new Uint8Array(profile.fields.length)
    this.#dilutionField = profile.fields.findIndex(({ name }) => name === profile.dilution.field)
  }

  read(bytes: Uint8Array, atMs: number, piece: Piece): LineOutcome {
    if (piece !== 'whole' && !(piece === 'unended' && this.#unendedCounts)) return pieceRefusals[piece]
    if (bytes.length > longestLineBytes) return pieceRefusals.continued
    let start = 0
    let end = bytes.length
    while (end > 0 && isLineEnd(bytes[end - 1])) end--
    while (start < end && isLineEnd(bytes[start])) start++
    if (this.#checksum === null && this.#readAlike(bytes, start, end, atMs)) return sound
    return this.#readAnew(bytes, start, end, atMs)
  }

  /** Reads a line that may look like none before it. */
  #readAnew(bytes: Uint8Array, from: number, end: number, atMs: number): LineOutcome {
    let start = from
    const refused = this.#refuseBytes(bytes, start, end)
    if (refused) return refused
    if (this.#profile.encoding === 'utf-8' && bytes[start] === 0xef) start = skipByteOrderMark(bytes, start, end)
    if (this.#rows < this.#profile.skipLines) {
      this.#rows++
      return refusal('header', `row ${this.#rows} of ${this.#profile.skipLines} before the data`)
    }
    if (skipBlanks(bytes, start, end) === end) return blank
    if (this.#isComment(bytes, start, end)) return commentLine
    if (!this.#checksum) return this.#readLine(bytes, start, end, atMs)
    const verdict = this.#checksum.check(bytes, start, end)
    if (verdict === 'wrong') return checksumWrong
    if (verdict === 'missing' && this.#profile.checksum?.required) return checksumMissing
    if (this.#readAlike(bytes, this.#checksum.start, this.#checksum.end, atMs)) return sound
    return this.#readLine(bytes, this.#checksum.start, this.#checksum.end, atMs)
  }

  #isComment(bytes: Uint8Array, start: number, end: number): boolean {
    for (let next = 0; next < this.#comments.length; next++)
      if (standsAt(bytes, start, end, this.#comments[next] as Uint8Array)) return true
    return false
  }

  /** Reads a line that differs from the sound one before it in digits alone; false where it does not, and nothing was read. */
  #readAlike(bytes: Uint8Array, start: number, end: number, atMs: number): boolean {
    const shape = this.#shape
    if (!shape.isKnown || !shape.fits(bytes, start, end)) return false
    if (this.#isComment(bytes, start, end)) return false
    const { places, numbers } = shape
    if (this.#values.hasTokens && !this.#values.areValues(places, numbers)) return false
    const lineTimeMs = this.#time === null ? Number.NaN : this.#time.readAlike(bytes, shape.timeStarts, atMs)
    if (this.#time !== null && Number.isNaN(lineTimeMs)) return false
    const { content } = this
    for (let next = 0; next < places.length; next++) {
      const field = places[next] as number
      content.values[field] = numbers[field] as number
    }
    content.lineTimeMs = lineTimeMs
    content.dilutionFactor = this.#dilutionField < 0 ? Number.NaN : (content.values[this.#dilutionField] as number)
    this.#time?.accept()
    return true
  }

  /** Learns the shape of a line that was read by the form's own way and told values. */
  #learn(bytes: Uint8Array, start: number, end: number): void {
    if (this.#values.garbled || this.#spans.source !== bytes || !this.#shape.wantsLearning()) return
    const loose = this.#form.loose?.(bytes, start, end) ?? null
    if (loose === null) return
    this.#values.markNumbers(this.content, this.#isNumber)
    this.#shape.learn(this.#spans, start, end, this.#isNumber, loose)
  }

  reset(): void {
    this.#rows = 0
    this.#shape.forget()
    this.#form.reset()
    this.#time?.reset()
    this.#clear()
  }

  /** NULs and broken UTF-8. Both show as the highest bit of `seen`: that of a byte from 0x80 on, and that of 0 less one. */
  #refuseBytes(bytes: Uint8Array, start: number, end: number): Refusal | null {
    let seen = 0
    for (let at = start; at < end; at++) {
      const value = bytes[at] as number
      seen |= value | (value - 1)
    }
    if ((seen & 0x80) === 0) return null
    for (let at = start; at < end; at++) if (bytes[at] === 0) return nulBytes
    return this.#profile.encoding === 'utf-8' && !isUtf8(bytes, start, end) ? brokenEncoding : null
  }

  #readLine(bytes: Uint8Array, start: number, end: number, atMs: number): LineOutcome {
    this.#shape.forget()
    const refused = this.#form.read(bytes, start, end, this.#spans)
    if (refused) return refused.reason === 'header' ? refused : this.#secondLook(bytes, start, end, refused)
    const { content } = this
    content.lineTimeMs = this.#time === null ? Number.NaN : this.#time.read(this.#spans, atMs)
    if (this.#time !== null && Number.isNaN(content.lineTimeMs))
      return this.#secondLook(bytes, start, end, unreadableTime)
    this.#values.read(this.#spans, content)
    content.status = this.#status.ofFields(this.#spans)
    if (!this.#values.told && !this.#isTold()) return this.#secondLook(bytes, start, end, nothingReadable)
    content.dilutionFactor = this.#dilutionField < 0 ? Number.NaN : (content.values[this.#dilutionField] as number)
    this.#time?.accept()
    if (!this.#values.garbled) this.#form.confirm?.()
    this.#learn(bytes, start, end)
    return sound
  }

  /** Whether the status alone makes a line worth reading; a token that no rule knows is not enough beside garbage. */
  #isTold(): boolean {
    const { status } = this.content
    return this.#values.garbled ? status.some(({ known }) => known) : status.length > 0
  }

  /** A line that was refused may be a new header, or nothing but a status. */
  #secondLook(bytes: Uint8Array, start: number, end: number, refused: Refusal): LineOutcome {
    const recognised = this.#form.recognise?.(bytes, start, end)
    if (recognised) return recognised
    const told = this.#status.ofLine(bytes, start, end)
    if (told.length === 0) return refused
    const lineTimeMs = refused === nothingReadable ? this.content.lineTimeMs : Number.NaN
    this.#clear()
    this.content.lineTimeMs = lineTimeMs
    this.content.status = told
    if (!Number.isNaN(lineTimeMs)) this.#time?.accept()
    return sound
  }

  #clear(): void {
    this.content.values.fill(Number.NaN)
    this.content.flags.fill(fieldFlag.absent)
    this.content.lineTimeMs = Number.NaN
    this.content.status = nothingTold
    this.content.dilutionFactor = Number.NaN
  }
}

const isLineEnd = (value: number | undefined): boolean => value === byte.lineFeed || value === byte.return
const skipByteOrderMark = (bytes: Uint8Array, start: number, end: number): number =>
  start + 2 < end && bytes[start + 1] === 0xbb && bytes[start + 2] === 0xbf ? start + 3 : start

/**
 * A reader for one stream, made from a profile that `checkProfile` finds no fault with; throws for any other.
 * `forms`: the table of forms, for one that is not built in.
 */
export function compileProfile(profile: LineProfile, options: ReaderOptions, forms: LineForms = lineForms): LineReader {
  const problems = checkProfile(profile, forms)
  if (problems.length > 0)
    throw new Error(
      `line profile “${profile.name}”: ${problems.map(({ path, message }) => `${path}: ${message}`).join('; ')}`,
    )
  return new ProfileReader(profile, options, forms)
}
