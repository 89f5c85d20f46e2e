import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { numberText } from '../../../server/reports/number-text.ts'

test('the text reads back to the same double, with a point and with a comma', () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      expect(Number(numberText(value))).toBe(value === 0 ? 0 : value)
      expect(Number(numberText(value, ',').replace(',', '.'))).toBe(value === 0 ? 0 : value)
    }),
  )
})

describe('it is the shortest such text, unrounded', () => {
  test.each([
    { value: 0.1, text: '0.1' },
    { value: 0.1 + 0.2, text: '0.30000000000000004' },
    { value: 1 / 3, text: '0.3333333333333333' },
    { value: -2.5, text: '-2.5' },
    { value: 1e-7, text: '1e-7' },
    { value: 100, text: '100' },
  ])('$text', ({ value, text }) => {
    expect(numberText(value)).toBe(text)
  })
})

test('what has no value has no text, never 0', () => {
  expect([null, Number.NaN, Number.POSITIVE_INFINITY].map((value) => numberText(value))).toEqual(['', '', ''])
})
