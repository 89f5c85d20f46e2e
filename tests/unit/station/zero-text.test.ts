import { expect, test } from 'vitest'
import { zeroText } from '../../../server/station/zero-text.ts'

const zero = (mean: number, standardDeviation: number | null, inUse: number | null = null) =>
  zeroText({ channel: 'co', mean, standardDeviation, count: 210, inUse, used: true, clean: true })

test('a zero is told to the second figure of its spread, and noise of the arithmetic is nothing', () => {
  expect(zero(6.349e-13, 0.318)).toBe('zero of co: 0.00 ± 0.32 from 210 readings, subtracted from here on')
  expect(zero(-6.349e-13, 0.318)).toContain('co: 0.00 ±')
  expect(zero(1.23456, 0.0987, 1.1)).toContain('co: 1.235 ± 0.099 from 210 readings, before 1.100,')
  expect(zero(104.6, 23.4)).toContain('co: 105 ± 23 ')
})

test('without a spread four figures are told', () => {
  expect(zero(6.349e-13, null)).toContain('co: 0 from')
  expect(zero(1.23456, null)).toContain('co: 1.235 from')
  expect(zero(2, 0, 1.5)).toContain('co: 2 ± 0 from 210 readings, before 1.5,')
})
