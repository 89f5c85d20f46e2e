import { describe, expect, test } from 'vitest'
import { type MgPerM3, type Ppm, quantity, type VolumePercent } from '../../protocols/words/units.ts'
import {
  atReferenceOxygen,
  type OxygenReference,
  oxygenRemark,
} from '../../server/engine/conversions/reference-oxygen.ts'
import { input, shareOfTolerance, workedValue } from '../support/worked-values.ts'

const percent = (value: number) => quantity<VolumePercent>(value)
const mass = (value: number) => quantity<MgPerM3>(value)
const by = (reference: number, ambient: number, more: Partial<OxygenReference> = {}): OxygenReference => ({
  reference: percent(reference),
  ambient: percent(ambient),
  guard: percent(19),
  onlyAboveReference: false,
  ...more,
})

// Source: Directive 2010/75/EU, Annex VI, Part 7: E_S = (21 − O_S) / (21 − O_M) · E_M.
test.each([
  { measured: 100, oxygen: 13, reference: 11, expected: 125 }, //  100 · 10/8, by hand
  { measured: 100, oxygen: 11, reference: 11, expected: 100 }, //  at the reference nothing changes
  { measured: -2, oxygen: 13, reference: 11, expected: -2.5 }, //  noise under zero stays under zero
  { measured: 100, oxygen: 21, reference: 11, expected: Number.NaN }, //  pure air: no value, not Infinity
])(
  '$measured mg/m3 at $oxygen % O2 is $expected mg/m3 at $reference %',
  ({ measured, oxygen, reference, expected }) => {
    expect(atReferenceOxygen(mass(measured), percent(oxygen), by(reference, 21))).toBe(expected)
  },
)

describe('published equations, worked', () => {
  // Sources: 1. BImSchV (2010), Annex 2 no. 2.2 and 13./17. BImSchV, Directive 2010/75/EU Annex VI Part 7 (EU-1);
  // 40 CFR 60.4213 for air at 20.9 % (EU-2); 1. BImSchV sec. 4(2) for wood at 13 % (EU-3).
  test.each(['EU-1', 'EU-2', 'EU-3'])('%s: referred with the air of its regime', (id) => {
    const row = workedValue(id)
    const value = atReferenceOxygen(
      mass(input(row, 'EM')),
      percent(input(row, 'O2')),
      by(input(row, 'O2B'), input(row, 'air_O2')),
    )
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })

  // Source: 44. BImSchV sec. 3 (engines at 5 %) against Directive (EU) 2015/2193, Annex II (engines at 15 %).
  test('EU-4: an engine’s limit at 5 % is another number at 15 %', () => {
    const row = workedValue('EU-4')
    expect(
      shareOfTolerance(row, atReferenceOxygen(mass(input(row, 'E5')), percent(5), by(15, 21))),
    ).toBeLessThanOrEqual(1)
  })

  // Source: 40 CFR 60.4213(d)(2) and 63.6620 eq. 2: C_adj = C_d · 5.9 / (20.9 − O2).
  test('GT-1: ppm at 15 % O2 as the US engine rules write it', () => {
    const row = workedValue('GT-1')
    const value = atReferenceOxygen(quantity<Ppm>(input(row, 'Cd')), percent(input(row, 'O2')), by(15, 20.9))
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })
})

describe('near ambient', () => {
  // Common practice, no source: the divisor grows useless long before it is zero (data-handling practice, 16 to 19 %).
  test('above the guard there is a reason in place of a number', () => {
    const set = by(3, 20.95, { guard: percent(19) })
    expect(atReferenceOxygen(mass(10), percent(19.01), set)).toBeNaN()
    expect(oxygenRemark(percent(19.01), set)).toBe('oxygen_near_ambient')
    expect(oxygenRemark(percent(19), set)).toBeNull()
  })

  test('a guard set above the ambient value does not let a negative divisor through', () => {
    const set = by(3, 20.9, { guard: percent(21) })
    expect(atReferenceOxygen(mass(10), percent(20.95), set)).toBeNaN()
    expect(oxygenRemark(percent(20.95), set)).toBe('oxygen_near_ambient')
  })

  test('no oxygen is told from too much of it', () => {
    expect(oxygenRemark(percent(Number.NaN), by(3, 21))).toBe('oxygen_invalid')
  })
})

// Common practice of waste-incineration permits, no single source: no correction below the reference.
test('where the permit says so, gas below the reference is left as it is, and that is said', () => {
  const set = by(11, 21, { onlyAboveReference: true })
  expect(atReferenceOxygen(mass(100), percent(9), set)).toBe(100)
  expect(oxygenRemark(percent(9), set)).toBe('oxygen_below_reference_not_corrected')
  expect(atReferenceOxygen(mass(100), percent(13), set)).toBe(125)
})
