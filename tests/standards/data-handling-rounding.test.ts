import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { roundedText } from '../../server/engine/decision/rounding.ts'
import { statedResult, statedText } from '../../server/engine/decision/stated-result.ts'
import { vectorIds, vectorOf } from '../support/data-handling-vectors.ts'

// Source: the project's hand-checkable data-handling vectors; rules RD-2 and RD-3: ASTM E29 and 40 CFR 1065.20(e) for half to
// even; half away from zero as DIN 1333 has it (from memory).
describe('V19: rounding from decimal text', () => {
  const { expected } = vectorOf('V19')
  test.each(expected.results as { value: string; decimals: number; half_even: string; half_up: string }[])(
    '$value to $decimals decimals',
    ({ value, decimals, half_even, half_up }) => {
      expect(roundedText(value, { decimals }, 'half-even')).toBe(half_even)
      expect(roundedText(value, { decimals }, 'half-away')).toBe(half_up)
      // The same from the number that the text stands for: its shortest text is the tie, though the double is not.
      expect(roundedText(Number(value), { decimals }, 'half-even')).toBe(half_even)
      expect(roundedText(Number(value), { decimals }, 'half-away')).toBe(half_up)
    },
  )
})

test('V21, case b: a result below detection is printed as less than its limit (EPA GD-51 (2009))', () => {
  const { inputs, expected } = vectorOf('V21')
  const settings = { negative: 'as-is', belowDetection: 'detection-limit', rounding: { ties: 'half-even' } } as const
  const result = statedResult(inputs.detection_level / 2, inputs.detection_level, settings)
  expect(statedText(result, { decimals: 1 }, settings)).toBe(expected.case_b.text)
})

test('every data-handling vector is run by a test', () => {
  const folder = import.meta.dirname
  const texts = readdirSync(folder)
    .filter((name) => name.endsWith('.test.ts'))
    .map((name) => readFileSync(join(folder, name), 'utf8'))
  // Bias and drift of a sampling system, and control charts, belong to the calculations of quality.
  const elsewhere = ['V17', 'V18']
  const missing = vectorIds().filter((id) => !elsewhere.includes(id) && !texts.some((text) => text.includes(`'${id}`)))
  // V20 is run beside the alarm delays.
  expect(missing).toEqual([])
})
