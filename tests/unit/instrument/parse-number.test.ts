import { expect, test } from 'vitest'
import { parseNumber } from '../../../protocols/instrument/parse-number.ts'

const point = '.'.charCodeAt(0)
const comma = ','.charCodeAt(0)
const parse = (text: string, mark = point) => parseNumber(new TextEncoder().encode(text), 0, text.length, mark)

test.each([
  '0',
  '-0',
  '20.9',
  '+20.9',
  '.5',
  '5.',
  '-.5',
  '000020.90',
  '0.1',
  '123456789',
  '1234567890',
  '123456789012345',
  '1234567890123456',
  '9007199254740993',
  '1e3',
  '1E+03',
  '1.5e-7',
  '1e22',
  '1e23',
  '-4.9e-324',
  '1.7976931348623157e308',
  '0.000000000000000000000000000001',
  '2.2250738585072011e-308',
  '  8.1',
  '8.1\t ',
  '1e-400',
])('“%s” is the same number to the bit as by Number', (text) => {
  expect(parse(text)).toBe(Number(text))
})

test.each([
  '',
  ' ',
  '.',
  '+',
  '-',
  '--',
  '----',
  '1-2',
  '1.2.3',
  '20,9',
  '1 2',
  '0x1F',
  '1e',
  '1e+',
  'e5',
  '1e5.0',
  'NaN',
  'Infinity',
  '-Infinity',
  '1e999',
  '-1e999',
  '1_000',
  '12a',
  '٣',
  '1e5 x',
  '20.9\u0000',
])('“%s” is no number', (text) => {
  expect(parseNumber(new TextEncoder().encode(text), 0, new TextEncoder().encode(text).length, point)).toBeNaN()
})

test.each([
  ['20,9', 20.9],
  ['-0,5', -0.5],
  ['1,5e3', 1500],
  [',25', 0.25],
  ['123456789012,5', 123456789012.5],
])('with a decimal comma “%s” is %d', (text, value) => {
  expect(parse(text, comma)).toBe(value)
})

test('a decimal comma in the profile makes a point garbage: nothing is guessed per value', () => {
  expect(parse('20.9', comma)).toBeNaN()
})

test('what stands before and behind the field takes no part', () => {
  expect(parseNumber(new TextEncoder().encode('9;20.9;9'), 2, 6, point)).toBe(20.9)
})
