import { ReadlineParser } from '@serialport/parser-readline'
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { type LineEnd, LineSplitter, type PieceSplitter } from '../../server/sources/line-splitter.ts'
import { ReadlineSplitter } from '../../server/sources/readline-splitter.ts'

interface Seen {
  readonly piece: string
  readonly bytes: string
}

function run(splitter: PieceSplitter, bytes: Buffer, sizes: Iterable<number>): Seen[] {
  const seen: Seen[] = []
  const take = (part: Uint8Array, piece: string): number =>
    seen.push({ piece, bytes: Buffer.from(part).toString('latin1') })
  let from = 0
  for (const size of sizes) {
    if (from >= bytes.length) break
    splitter.push(bytes.subarray(from, from + size), take)
    from += size
  }
  splitter.push(bytes.subarray(from), take)
  splitter.end(take)
  return seen
}

/** Text rich in line ends, with stretches about as long as the longest line. */
const part = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom('\n', '\r', '\r\n', '\0', '\xff', '12.5;99', '\xb0C') },
  { weight: 2, arbitrary: fc.string({ unit: 'binary-ascii', maxLength: 20 }) },
  { weight: 1, arbitrary: fc.integer({ min: 4090, max: 4100 }).map((length) => 'x'.repeat(length)) },
)
const stream = fc.array(part, { maxLength: 40 }).map((parts) => Buffer.from(parts.join(''), 'latin1'))
const cuts = fc.array(fc.oneof(fc.integer({ min: 1, max: 9 }), fc.integer({ min: 4090, max: 4100 })), {
  maxLength: 200,
})
const lineEnd = fc.constantFrom<LineEnd>('auto', 'lf', 'cr', 'crlf')
const make = {
  plain: (end: LineEnd, first: boolean) => new LineSplitter(end, { first }),
  readline: (end: LineEnd, first: boolean) => new ReadlineSplitter(ReadlineParser, end, { first }),
}

test('the pieces do not depend on where the bytes were cut', () => {
  fc.assert(
    fc.property(stream, cuts, lineEnd, fc.boolean(), (bytes, sizes, end, first) => {
      expect(run(make.plain(end, first), bytes, sizes)).toEqual(run(make.plain(end, first), bytes, [bytes.length]))
    }),
    { numRuns: 400 },
  )
})

test('the serial splitter gives the same pieces as the plain one, wherever the bytes were cut', () => {
  fc.assert(
    fc.property(stream, cuts, lineEnd, fc.boolean(), (bytes, sizes, end, first) => {
      expect(run(make.readline(end, first), bytes, sizes)).toEqual(run(make.plain(end, first), bytes, [bytes.length]))
    }),
    { numRuns: 400 },
  )
})

test('the pieces put together are the bytes that came', () => {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), cuts, lineEnd, (raw, sizes, end) => {
      const bytes = Buffer.from(raw)
      expect(
        run(make.plain(end, false), bytes, sizes)
          .map((seen) => seen.bytes)
          .join(''),
      ).toBe(bytes.toString('latin1'))
    }),
  )
})

test('no piece is longer than a line may be, and none is empty', () => {
  fc.assert(
    fc.property(stream, cuts, lineEnd, (bytes, sizes, end) => {
      expect(
        run(make.plain(end, true), bytes, sizes).every((seen) => seen.bytes.length > 0 && seen.bytes.length <= 4096),
      ).toBe(true)
    }),
  )
})

test('a stream cut at every byte, and fed byte by byte, gives the same lines', () => {
  const bytes = Buffer.from('21:04:00;8,1;112;°C\r\nO2=8.1\n\r\n\nhalf')
  const expected = run(make.plain('auto', true), bytes, [bytes.length])
  for (let cut = 1; cut < bytes.length; cut++) expect(run(make.readline('auto', true), bytes, [cut])).toEqual(expected)
  expect(run(make.readline('auto', true), bytes, new Array(bytes.length).fill(1))).toEqual(expected)
})
