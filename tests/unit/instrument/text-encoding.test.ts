import { expect, test } from 'vitest'
import { decodeText, encodeText, isUtf8 } from '../../../protocols/instrument/text-encoding.ts'

const highBytes = Uint8Array.from({ length: 128 }, (_, value) => value + 128)

test('windows-1252 is what the WHATWG Encoding Standard says', () => {
  expect(decodeText(highBytes, 0, 128, 'windows-1252')).toBe(new TextDecoder('windows-1252').decode(highBytes))
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
