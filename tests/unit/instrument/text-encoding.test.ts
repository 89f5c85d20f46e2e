import { expect, test } from 'vitest'
import { decodeText, encodeText, isUtf8 } from '../../../protocols/instrument/text-encoding.ts'

const highBytes = Uint8Array.from({ length: 128 }, (_, value) => value + 128)

// Source: CP1252.TXT of the Unicode Consortium’s mapping tables, as CPython 3’s codec cp1252 decodes it; the five bytes that are free there keep their number
// (WHATWG Encoding Standard). Node 20’s own TextDecoder is no witness: it decodes windows-1252 as latin-1.
const from80To9F = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ'

test('windows-1252 holds the euro sign and the quotes where latin-1 has control characters', () => {
  expect(decodeText(highBytes, 0, 32, 'windows-1252')).toBe(from80To9F)
})

test('in latin-1 a byte is the character of its number', () => {
  expect(decodeText(highBytes, 0, 128, 'latin-1')).toBe(String.fromCharCode(...highBytes))
})

test.each(['latin-1', 'windows-1252'] as const)('a text in %s comes back', (encoding) => {
  expect(encodeText(decodeText(highBytes, 0, 128, encoding), encoding)).toEqual(highBytes)
})

test('a character without a place in the encoding has no bytes', () => {
  expect(encodeText('温', 'latin-1')).toBeNull()
  expect(encodeText('€', 'latin-1')).toBeNull()
  expect(encodeText('€', 'windows-1252')).toEqual(Uint8Array.of(0x80))
  expect(encodeText('\u0080', 'windows-1252')).toBeNull()
})

test('every two bytes are UTF-8 exactly where a strict decoder takes them', () => {
  const strict = new TextDecoder('utf-8', { fatal: true })
  const takes = (bytes: Uint8Array) => {
    try {
      return typeof strict.decode(bytes) === 'string'
    } catch {
      return false // The strict decoder throws: that is its answer.
    }
  }
  const pairs = Array.from({ length: 65_536 }, (_, pair) => Uint8Array.of(pair >> 8, pair & 0xff))
  const different = pairs.filter((bytes) => isUtf8(bytes, 0, 2) !== takes(bytes))
  expect(different).toEqual([])
})
