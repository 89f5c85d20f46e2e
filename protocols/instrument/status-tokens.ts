import { copyOf, dropBlanks, isText, skipBlanks, standsAt } from './bytes.ts'
import type { Spans } from './form.ts'
import type { LineProfile } from './profile.ts'
import { fieldFlag, type StatusTold } from './reader.ts'
import { decodeText, type Encoding, encodeText } from './text-encoding.ts'
import { FieldTokens } from './tokens.ts'

type StatusRule = LineProfile['status'][number]
export const nothingTold: readonly StatusTold[] = Object.freeze([])

interface KnownToken {
  readonly bytes: Uint8Array
  /** The list of one that this token alone tells. */
  readonly told: readonly StatusTold[]
}

/** Longer tokens first, so that `PUMP OFF` is not taken for `PUMP`. */
function knownTokens(rule: StatusRule, encoding: Encoding): KnownToken[] {
  const tokens = Object.entries(rule.tokens).flatMap(([token, { phase, fault, clears, plant }]) => {
    const bytes = encodeText(token.trim(), encoding)
    const told: StatusTold = Object.freeze({ token, known: true, phase, fault, clears, plant })
    return bytes ? [{ bytes, told: Object.freeze([told]) }] : []
  })
  return tokens.sort((one, other) => other.bytes.length - one.bytes.length)
}

/** A rule for one field. What no rule knows is told as unknown; an empty field or a missing token tells nothing. */
class FieldStatus {
  readonly field: number
  readonly #tokens: readonly KnownToken[]
  readonly #valueTokens: FieldTokens
  readonly #separator: Uint8Array | null
  readonly #encoding: Encoding
  readonly #tellsPhases: boolean
  /** The text read last and what it told: most lines tell the same as the one before, and then nothing is made anew. */
  #lastText: Uint8Array = new Uint8Array(0)
  #lastTold = nothingTold

  constructor(profile: LineProfile, rule: StatusRule, field: number, encoding: Encoding) {
    const of = profile.fields[field]
    if (!of) throw new Error(`status rule for field ${field} of ${profile.fields.length}`)
    this.field = field
    this.#tokens = knownTokens(rule, encoding)
    this.#valueTokens = new FieldTokens(profile, of, encoding, profile.decimal.charCodeAt(0))
    this.#separator = rule.separator ? encodeText(rule.separator, encoding) : null
    this.#encoding = encoding
    this.#tellsPhases = Object.values(rule.tokens).some(({ phase }) => phase !== undefined)
  }

  read({ source, starts, ends }: Spans): readonly StatusTold[] {
    const from = starts[this.field] as number
    if (from < 0) return nothingTold
    const start = skipBlanks(source, from, ends[this.field] as number)
    const end = dropBlanks(source, start, ends[this.field] as number)
    if (isText(source, start, end, this.#lastText)) return this.#lastTold
    this.#lastText = copyOf(source, start, end)
    this.#lastTold = this.#separator
      ? this.#readSeveral(source, start, end, this.#separator)
      : this.#readOne(source, start, end)
    return this.#lastTold
  }

  #readSeveral(source: Uint8Array, start: number, end: number, separator: Uint8Array): readonly StatusTold[] {
    const told: StatusTold[] = []
    let from = start
    for (let at = start; at <= end; at++) {
      if (at < end && !standsAt(source, at, end, separator)) continue
      const first = skipBlanks(source, from, at)
      told.push(...this.#readOne(source, first, dropBlanks(source, first, at)))
      from = at + separator.length
      at = from - 1
    }
    return told.length > 0 ? told : nothingTold
  }

  #readOne(source: Uint8Array, start: number, end: number): readonly StatusTold[] {
    for (const token of this.#tokens) if (isText(source, start, end, token.bytes)) return token.told
    if (this.#valueTokens.flagOfText(source, start, end) !== fieldFlag.unreadable) return nothingTold
    return [{ token: decodeText(source, start, end, this.#encoding), known: false, hidesPhase: this.#tellsPhases }]
  }
}

const isWordByte = (byte: number | undefined): boolean =>
  byte !== undefined &&
  ((byte >= 48 && byte <= 57) ||
    (byte >= 65 && byte <= 90) ||
    (byte >= 97 && byte <= 122) ||
    byte === 95 ||
    byte >= 0x80)

/** Whether bytes [start, end) within [lineStart, lineEnd) begin and end where a word does: `PURGE` is not in `PURGED`. */
function isWhole(bytes: Uint8Array, start: number, end: number, lineStart: number, lineEnd: number): boolean {
  const joinsBefore = start > lineStart && isWordByte(bytes[start - 1]) && isWordByte(bytes[start])
  const joinsBehind = end < lineEnd && isWordByte(bytes[end - 1]) && isWordByte(bytes[end])
  return !joinsBefore && !joinsBehind
}

/** What the status rules of a profile find. */
export class StatusTokens {
  readonly #byField: readonly FieldStatus[]
  readonly #byLine: readonly KnownToken[]

  /** `spansIn`: encoding of the spans’ source; lines as they come are in the profile’s. */
  constructor(profile: LineProfile, spansIn: Encoding) {
    const fieldOf = (rule: StatusRule) => profile.fields.findIndex(({ name }) => name === rule.field)
    const forFields = profile.status.filter((rule) => rule.field !== undefined)
    this.#byField = forFields.map((rule) => new FieldStatus(profile, rule, fieldOf(rule), spansIn))
    this.#byLine = profile.status
      .filter((rule) => rule.field === undefined)
      .flatMap((rule) => knownTokens(rule, profile.encoding))
  }

  /** What the fields tell, in the line’s order; `nothingTold` where they tell nothing. */
  ofFields(spans: Spans): readonly StatusTold[] {
    const rules = this.#byField
    if (rules.length === 0) return nothingTold
    if (rules.length === 1) return (rules[0] as FieldStatus).read(spans)
    const telling = rules
      .map((rule) => ({ start: spans.starts[rule.field] as number, told: rule.read(spans) }))
      .filter(({ told }) => told.length > 0)
    if (telling.length === 0) return nothingTold
    return telling.sort((one, other) => one.start - other.start).flatMap(({ told }) => told)
  }

  /** The tokens of rules without a field, found as whole words in bytes [start, end) of a line that holds no value. */
  ofLine(bytes: Uint8Array, start: number, end: number): readonly StatusTold[] {
    if (this.#byLine.length === 0) return nothingTold
    const told: StatusTold[] = []
    for (let at = start; at < end; at++) {
      const found = this.#byLine.find(
        (token) => standsAt(bytes, at, end, token.bytes) && isWhole(bytes, at, at + token.bytes.length, start, end),
      )
      if (!found) continue
      told.push(...found.told)
      at += found.bytes.length - 1
    }
    return told.length > 0 ? told : nothingTold
  }
}
