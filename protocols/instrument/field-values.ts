import { dropBlanks, skipBlanks, standsAt } from './bytes.ts'
import type { Spans } from './form.ts'
import { parseNumber } from './parse-number.ts'
import type { LineProfile } from './profile.ts'
import { fieldFlag, type LineContent } from './reader.ts'
import { type Encoding, encodeText } from './text-encoding.ts'
import { FieldTokens } from './tokens.ts'

/** Turns the spans of a line's fields into numbers and flags. */
export class FieldValues {
  /** Of the line read last: whether a field told something (a value, or a token other than nothing at all). */
  told = false
  /** Of the line read last: whether a field held what is neither number nor token. */
  garbled = false
  /** Whether any field has a token that is itself a number. */
  readonly hasTokens: boolean
  readonly #decimal: number
  readonly #tokens: readonly FieldTokens[]
  readonly #suffixes: readonly (Uint8Array | null)[]
  /** 1: the plain way, a number without suffix and without tokens that are numbers. */
  readonly #plain: Uint8Array
  /** 1: holds status tokens, so a text in it is no fault. */
  readonly #statusText: Uint8Array

  constructor(profile: LineProfile, encoding: Encoding) {
    this.#decimal = profile.decimal.charCodeAt(0)
    this.#tokens = profile.fields.map((field) => new FieldTokens(profile, field, encoding, this.#decimal))
    this.hasTokens = this.#tokens.some(({ numbers }) => numbers.length > 0)
    this.#suffixes = profile.fields.map((field) =>
      field.unitSuffix ? encodeText(field.unitSuffix.trim(), encoding) : null,
    )
    this.#plain = Uint8Array.from(profile.fields, (_, field) =>
      this.#suffixes[field] || this.#tokens[field]?.numbers.length ? 0 : 1,
    )
    this.#statusText = Uint8Array.from(profile.fields, ({ name }) =>
      profile.status.some((rule) => rule.field === name) ? 1 : 0,
    )
  }

  /** Marks the fields of the line read last whose number may be another in the next line, while all else stays. */
  markNumbers(content: LineContent, isNumber: Uint8Array): void {
    for (let field = 0; field < isNumber.length; field++)
      isNumber[field] = content.flags[field] === fieldFlag.value && this.#statusText[field] === 0 ? 1 : 0
  }

  /** Whether the numbers of these fields are values all, none of them a token. */
  areValues(fields: readonly number[], numbers: Float64Array): boolean {
    return fields.every(
      (field) => (this.#tokens[field] as FieldTokens).flagOfNumber(numbers[field] as number) === fieldFlag.value,
    )
  }

  /** One value and one flag per field; NaN where there is none. */
  read(spans: Spans, content: LineContent): void {
    this.told = false
    this.garbled = false
    const { source, starts, ends } = spans
    const { values, flags } = content
    for (let field = 0; field < values.length; field++) {
      const start = starts[field] as number
      if (start < 0) {
        values[field] = Number.NaN
        flags[field] = fieldFlag.absent
        continue
      }
      const value =
        this.#plain[field] === 1 ? parseNumber(source, start, ends[field] as number, this.#decimal) : Number.NaN
      if (!Number.isNaN(value)) {
        values[field] = value
        flags[field] = fieldFlag.value
        this.told = true
      } else this.#readRest(source, start, ends[field] as number, field, content)
    }
  }

  /** Suffixes, tokens and garbage. */
  #readRest(source: Uint8Array, from: number, to: number, field: number, content: LineContent): void {
    const tokens = this.#tokens[field] as FieldTokens
    const start = skipBlanks(source, from, to)
    const end = dropBlanks(source, start, to)
    const cut = this.#withoutSuffix(source, start, end, field)
    const value = parseNumber(source, start, cut, this.#decimal)
    let flag = Number.isNaN(value) ? tokens.flagOfText(source, start, end) : tokens.flagOfNumber(value)
    if (flag === fieldFlag.unreadable && cut < end) flag = tokens.flagOfText(source, start, cut)
    if (flag === fieldFlag.unreadable && this.#statusText[field] === 1) flag = fieldFlag.missing
    else if (flag === fieldFlag.unreadable) this.garbled = true
    else if (cut > start) this.told = true
    content.values[field] = flag === fieldFlag.value ? value : Number.NaN
    content.flags[field] = flag
  }

  #withoutSuffix(source: Uint8Array, start: number, end: number, field: number): number {
    const suffix = this.#suffixes[field]
    if (!suffix || !standsAt(source, end - suffix.length, end, suffix) || end - suffix.length < start) return end
    return dropBlanks(source, start, end - suffix.length)
  }
}
