import { expect, test } from 'vitest'
import { compileProfile } from '../../../protocols/instrument/compile-profile.ts'
import { longestLineBytes, type Piece } from '../../../protocols/instrument/reader.ts'
import { aProfile, aReader, noon, readLine, toBytes } from '../../support/line-reading.ts'

const line = toBytes('8.1;112\n')
const refusedAs = (piece: Piece, unendedCounts?: boolean) => {
  const reader = compileProfile(aProfile(), {
    stationZone: 'UTC',
    ...(unendedCounts === undefined ? {} : { unendedCounts }),
  })
  const outcome = reader.read(line, noon, piece)
  return outcome.ok ? null : outcome.reason
}

test.each([
  ['whole', null],
  ['first', 'half_line'],
  ['continued', 'too_long'],
  ['continuation-end', 'too_long'],
  ['unended', 'half_line'],
] as const)('a piece of kind %s gives %s', (piece, reason) => {
  expect(refusedAs(piece)).toBe(reason)
})

test('an unended last piece counts on import', () => {
  expect(refusedAs('unended', true)).toBeNull()
  expect(refusedAs('first', true)).toBe('half_line')
})

test.each(['\n', '\r\n', '\r', '', '\r\r\n'])('the line end %j is no part of the line', (end) => {
  expect(readLine(aReader(), `8.1;112${end}`).values).toEqual([8.1, 112])
})

test('a carriage return before the line belongs to the line end before it', () => {
  expect(readLine(aReader(), '\r8.1;112\n').values).toEqual([8.1, 112])
})

test('two lines with a lone carriage return between them do not pass for one', () => {
  expect(readLine(aReader(), '8.1;112\r8.2;113\n').values).toEqual([8.1, 'unreadable'])
})

test('a line of 4096 bytes is read; one byte more is too long', () => {
  const reader = aReader()
  const text = `8.1;112;${'x'.repeat(longestLineBytes)}`
  expect(readLine(reader, text.slice(0, longestLineBytes)).refused).toBeNull()
  expect(readLine(reader, text.slice(0, longestLineBytes + 1)).refused).toBe('too_long')
})

test.each([
  ['\u00008.1;112', 'nul_bytes'],
  ['8.1;1\u000012', 'nul_bytes'],
  ['8.1;112;\u0000\n', 'nul_bytes'],
  ['', 'blank'],
  ['\r\n', 'blank'],
  [' \t \n', 'blank'],
])('%j is refused as %s', (text, reason) => {
  expect(readLine(aReader(), text).refused).toBe(reason)
})

test.each([
  ['a byte that begins nothing', [0xff]],
  ['a letter cut short', [0xc3]],
  ['an overlong form', [0xc0, 0xaf]],
  ['half a surrogate pair', [0xed, 0xa0, 0x80]],
  ['past U+10FFFF', [0xf4, 0x90, 0x80, 0x80]],
  ['a following byte alone', [0xa9]],
])('%s is broken UTF-8', (_, bytes) => {
  expect(readLine(aReader(), Uint8Array.from([...toBytes('8.1;112;'), ...bytes])).refused).toBe('broken_encoding')
})

test('sound UTF-8 in a column that nobody asks for does no harm', () => {
  expect(readLine(aReader(), '8.1;112;°C µ 温 🙂\n').values).toEqual([8.1, 112])
})

test('any byte but NUL is a letter in an encoding of one byte', () => {
  const bytes = Uint8Array.from([
    ...toBytes('8.1;112;'),
    ...Array.from({ length: 255 }, (_, value) => value + 1).filter((value) => value !== 34),
  ])
  expect(readLine(aReader({ encoding: 'latin-1' }), bytes).values).toEqual([8.1, 112])
  expect(readLine(aReader({ encoding: 'windows-1252' }), bytes).values).toEqual([8.1, 112])
})

test('comments are told apart from garbage', () => {
  const reader = aReader({ comment: ['#', '//'] })
  expect(['# 1;2', '//1;2', '1;2'].map((text) => readLine(reader, text).refused)).toEqual(['comment', 'comment', null])
})

test('a byte order mark before the first line is no part of it', () => {
  expect(readLine(aReader(), '\ufeff8.1;112\n').values).toEqual([8.1, 112])
})
