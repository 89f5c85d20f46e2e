import { expect, test } from 'vitest'
import { nearest } from '../../../../server/engine/settings/nearest.ts'

test.each([
  { word: 'chanel', known: ['channel', 'value'], meant: 'channel' },
  { word: 'NOX', known: ['NO', 'NOx'], meant: 'NOx' },
  { word: 'mian', known: ['main', 'mill'], meant: 'main' }, // two neighbours swapped
  { word: 'colour', known: ['channel', 'value'], meant: null },
  { word: 'x', known: ['y'], meant: null },
])('$word: $meant', ({ word, known, meant }) => {
  expect(nearest(word, known)).toBe(meant)
})
