import { isText } from './bytes.ts'
import { parseNumber } from './parse-number.ts'
import type { LineProfile, ProfileField } from './profile.ts'
import { type FieldFlag, fieldFlag } from './reader.ts'
import { type Encoding, encodeText } from './text-encoding.ts'

interface Token {
  readonly bytes: Uint8Array
  readonly flag: FieldFlag
}

/**
 * The tokens of one field: what stands in place of a number, and what it means.
 * A token that is itself a number is compared by value, so `-200` also covers `-200,0`; any other as it stands.
 * An empty field is always missing.
 */
export class FieldTokens {
  readonly numbers: { readonly value: number; readonly flag: FieldFlag }[] = []
  readonly #texts: Token[] = []

  constructor(profile: LineProfile, field: ProfileField, encoding: Encoding, decimal: number) {
    const lists: [readonly string[], FieldFlag][] = [
      [field.missing ?? [], fieldFlag.missing],
      [profile.missing, fieldFlag.missing],
      [profile.over, fieldFlag.over],
      [profile.under, fieldFlag.under],
    ]
    for (const [texts, flag] of lists) {
      for (const text of texts) {
        const bytes = encodeText(text.trim(), encoding)
        if (!bytes) continue
        const value = parseNumber(bytes, 0, bytes.length, decimal)
        if (Number.isNaN(value)) this.#texts.push({ bytes, flag })
        else this.numbers.push({ value, flag })
      }
    }
  }

  /** What bytes [start, end), without blanks around, mean; `unreadable` where they are no token. */
  flagOfText(bytes: Uint8Array, start: number, end: number): FieldFlag {
    if (start === end) return fieldFlag.missing
    for (const token of this.#texts) if (isText(bytes, start, end, token.bytes)) return token.flag
    return fieldFlag.unreadable
  }

  /** What a number means: `value` unless it is one of the tokens. */
  flagOfNumber(value: number): FieldFlag {
    for (const token of this.numbers) if (token.value === value) return token.flag
    return fieldFlag.value
  }
}
