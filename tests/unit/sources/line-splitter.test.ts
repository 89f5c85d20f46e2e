import { ReadlineParser } from '@serialport/parser-readline'
import { describe, expect, test } from 'vitest'
import { type LineEnd, LineSplitter, type PieceSplitter } from '../../../server/sources/line-splitter.ts'
import { ReadlineSplitter } from '../../../server/sources/readline-splitter.ts'

const splitters: [name: string, make: (lineEnd: LineEnd, first: boolean) => PieceSplitter][] = [
  ['the splitter of TCP and files', (lineEnd, first) => new LineSplitter(lineEnd, { first })],
  ['the splitter of the serial port', (lineEnd, first) => new ReadlineSplitter(ReadlineParser, lineEnd, { first })],
]

const latin1 = (bytes: Uint8Array): string => Buffer.from(bytes).toString('latin1')

describe.each(splitters)('%s', (_name, make) => {
  const pieces = (lineEnd: LineEnd, chunks: readonly string[], first = false): string[] => {
    const splitter = make(lineEnd, first)
    const seen: string[] = []
    const take = (bytes: Uint8Array, piece: string): number => seen.push(`${piece}:${latin1(bytes)}`)
    for (const chunk of chunks) splitter.push(Buffer.from(chunk, 'latin1'), take)
    splitter.end(take)
    return seen
  }

  test('keeps the terminator', () => {
    expect(pieces('auto', ['a\r\nb\n'])).toEqual(['whole:a\r\n', 'whole:b\n'])
  })

  test('marks the first piece after an opening, whole or not', () => {
    expect(pieces('lf', ['9;8\n1;2\n3'], true)).toEqual(['first:9;8\n', 'whole:1;2\n', 'unended:3'])
  })

  test('ends lines at CR where the settings say so, and leaves an LF to the next', () => {
    expect(pieces('cr', ['1\r2\r\n3'])).toEqual(['whole:1\r', 'whole:2\r', 'unended:\n3'])
  })

  test('ends lines at CR LF only, also where it is cut in two', () => {
    expect(pieces('crlf', ['1\n2\r', '\n3\r4\r\n'])).toEqual(['whole:1\n2\r\n', 'whole:3\r4\r\n'])
  })

  test('keeps NUL and bytes above 127 as they came', () => {
    expect(pieces('auto', ['\0\xb0\xff\n'])).toEqual(['whole:\0\xb0\xff\n'])
  })

  test('gives an unfinished line once and begins anew', () => {
    const splitter = make('auto', false)
    const seen: string[] = []
    const take = (bytes: Uint8Array, piece: string): number => seen.push(`${piece}:${latin1(bytes)}`)
    splitter.push(Buffer.from('12.5;99'), take)
    splitter.end(take)
    splitter.end(take)
    splitter.push(Buffer.from('7;8;9\n'), take)
    expect(seen).toEqual(['unended:12.5;99', 'whole:7;8;9\n'])
  })

  test('a line of 4096 bytes with its terminator is whole, one more byte makes it too long', () => {
    expect(pieces('auto', [`${'x'.repeat(4095)}\n`]).map((piece) => piece.length)).toEqual(['whole:'.length + 4096])
    expect(pieces('auto', [`${'x'.repeat(4096)}\n`, 'y\n'])).toEqual([
      `continued:${'x'.repeat(4096)}`,
      'continuation-end:\n',
      'whole:y\n',
    ])
  })

  test('a too long line never parts its CR from its LF', () => {
    expect(pieces('crlf', [`${'x'.repeat(4095)}\r`, '\ny\r\n'])).toEqual([
      `continued:${'x'.repeat(4095)}`,
      'continuation-end:\r\n',
      'whole:y\r\n',
    ])
  })

  test('two lines that are too long only together are whole, also where CR and LF came apart', () => {
    const [one, two] = [`${'x'.repeat(3000)}\r\n`, `${'y'.repeat(2000)}\r\n`]
    expect(pieces('crlf', [one.slice(0, -1), `\n${two}`])).toEqual([`whole:${one}`, `whole:${two}`])
  })

  test('a too long line that breaks off stays unended', () => {
    expect(pieces('auto', ['x'.repeat(5000)]).map((piece) => piece.slice(0, 10))).toEqual(['continued:', 'unended:xx'])
  })

  test('after a too long first line the next line counts', () => {
    expect(pieces('auto', [`${'x'.repeat(5000)}\ny\n`], true).map((piece) => piece.split(':')[0])).toEqual([
      'continued',
      'continuation-end',
      'whole',
    ])
  })
})
