import fc from 'fast-check'
import { expect, test } from 'vitest'
import { parseNumber } from '../../protocols/instrument/parse-number.ts'

const digits = (least: number, most: number) =>
  fc.string({ unit: fc.constantFrom(...'0123456789'), minLength: least, maxLength: most })
const sign = fc.constantFrom('', '-', '+')
const exponent = fc.oneof(
  fc.constant(''),
  fc.tuple(fc.constantFrom('e', 'E'), sign, digits(1, 3)).map((parts) => parts.join('')),
)
const mantissa = fc.oneof(
  digits(1, 20),
  fc.tuple(digits(1, 18), digits(0, 18)).map(([whole, decimals]) => `${whole}.${decimals}`),
  digits(1, 25).map((decimals) => `.${decimals}`),
  fc.double({ noNaN: true, noDefaultInfinity: true, min: 0 }).map((value) => String(value).replace(/e.*/, '')),
)
const blanks = fc.string({ unit: fc.constantFrom(' ', '\t'), maxLength: 3 })
const numberText = fc.tuple(blanks, sign, mantissa, exponent, blanks).map((parts) => parts.join(''))

const parsed = (text: string, mark: string) => {
  const bytes = new TextEncoder().encode(`7${text}7`)
  return parseNumber(bytes, 1, bytes.length - 1, mark.charCodeAt(0))
}
/** What Number says, less what it says too much: an infinite value is none. */
const byNumber = (text: string) => (Number.isFinite(Number(text)) ? Number(text) : Number.NaN)

test('a number in a line is the same to the bit as by Number, with a point or a comma', () => {
  fc.assert(
    fc.property(numberText, fc.constantFrom('.', ','), (text, mark) => {
      expect(parsed(text.replace('.', mark), mark)).toBe(byNumber(text))
    }),
    { numRuns: 5000 },
  )
})

test('every double comes back from its shortest text', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      expect(parsed(Object.is(value, -0) ? '-0' : String(value), '.')).toBe(value)
    }),
    { numRuns: 3000 },
  )
})

test('any other text is no number, or one that Number takes for the same', () => {
  const text = fc.string({ unit: fc.constantFrom(...'0123456789.,+-eExX_ aInfty'), maxLength: 12 })
  fc.assert(
    fc.property(text, (text) => {
      const value = parsed(text, '.')
      expect(Number.isNaN(value) || Object.is(value, Number(text))).toBe(true)
    }),
    { numRuns: 5000 },
  )
})
