import fc from 'fast-check'
import { expect, test } from 'vitest'
import { lineDifference } from '../../../../server/station/set-up/line-difference.ts'

const shown = (before: string, after: string): string[] =>
  lineDifference(before, after).map(({ kind, text }) => `${kind}: ${text}`)

test('a changed line stands old then new, between two equal lines on either side', () => {
  expect(shown('a\nb\nc\nd\ne\nf\n', 'a\nb\nc\nX\ne\nf\n')).toEqual([
    'cut: 1 equal lines',
    'same: b',
    'same: c',
    'old: d',
    'new: X',
    'same: e',
    'same: f',
  ])
})

test('a first file is new from top to bottom, and an equal one shows nothing', () => {
  expect(shown('', 'a\nb\n')).toEqual(['new: a', 'new: b'])
  expect(shown('a\nb\n', 'a\nb\n')).toEqual(['cut: 2 equal lines'])
})

test('a line put in is one new line, wherever it stands', () => {
  expect(shown('a\nb\n', 'a\nX\nb\n')).toEqual(['same: a', 'new: X', 'same: b'])
})

const text = fc.array(fc.constantFrom('a', 'b', 'c', '{', '}'), { maxLength: 30 }).map((lines) => lines.join('\n'))

test('old lines without the new ones are the old file, new lines without the old ones the new file', () => {
  fc.assert(
    fc.property(text, text, (before, after) => {
      const lines = lineDifference(before, after)
      const cut = lines
        .filter(({ kind }) => kind === 'cut')
        .reduce((sum, line) => sum + Number(line.text.split(' ')[0]), 0)
      const count = (kind: string) => lines.filter((line) => line.kind === kind).length
      const length = (of: string) => (of === '' ? 0 : of.trimEnd().split('\n').length)
      expect(count('old') + count('same') + cut).toBe(length(before))
      expect(count('new') + count('same') + cut).toBe(length(after))
    }),
  )
})
