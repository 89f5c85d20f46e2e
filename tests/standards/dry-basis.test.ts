import { describe, expect, test } from 'vitest'
import { type Fraction, type MgPerM3, type Ppm, quantity, type VolumePercent } from '../../protocols/words/units.ts'
import { dryBasis } from '../../server/engine/conversions/dry-basis.ts'
import { input, shareOfTolerance, workedValue } from '../support/worked-values.ts'

const share = (value: number) => quantity<Fraction>(value)

// Source: US EPA Method 19 (40 CFR 60 App. A-7), eq. 19-4 and 19-5: the same gas, 82 ppm wet is 100 ppm dry at 18 % water,
// and 2.46 % oxygen wet is 3 % dry. By hand: 82 / 0.82 and 2.46 / 0.82.
test('82 ppm and 2.46 % O2 wet at 18 % water are 100 ppm and 3 % dry', () => {
  expect(dryBasis(quantity<Ppm>(82), share(0.18))).toBeCloseTo(100, 12)
  expect(dryBasis(quantity<VolumePercent>(2.46), share(0.18))).toBeCloseTo(3, 12)
})

test('more than 95 % water, or water that is not known, gives no value', () => {
  expect(dryBasis(quantity<Ppm>(82), share(0.96))).toBeNaN()
  expect(dryBasis(quantity<Ppm>(82), share(1))).toBeNaN()
  expect(dryBasis(quantity<Ppm>(82), share(Number.NaN))).toBeNaN()
})

describe('published equations, worked', () => {
  // Source: US Method 19 and 40 CFR 1065.659 (inverse form).
  test('EU-13: wet to dry', () => {
    const row = workedValue('EU-13')
    expect(
      shareOfTolerance(row, dryBasis(quantity<MgPerM3>(input(row, 'c_wet')), share(input(row, 'H2O')))),
    ).toBeLessThanOrEqual(1)
  })

  // Source: Method 19, eq. 19-4 (wet pollutant, dry oxygen) and 19-5 (dry pollutant, wet oxygen): the same emission.
  test('M19-3 and M19-4: drying the pollutant and drying the oxygen lead to the same emission', () => {
    const emission = (ppm: number, oxygen: number, k: number, fd: number): number =>
      (ppm * k * fd * 20.9) / (20.9 - oxygen)
    const wet = workedValue('M19-3')
    const ppm = dryBasis(quantity<Ppm>(input(wet, 'NOx')), share(input(wet, 'Bws')))
    expect(
      shareOfTolerance(wet, emission(ppm, input(wet, 'O2'), input(wet, 'K'), input(wet, 'Fd'))),
    ).toBeLessThanOrEqual(1)
    const dry = workedValue('M19-4')
    const oxygen = dryBasis(quantity<VolumePercent>(input(dry, 'O2w')), share(input(dry, 'Bws')))
    expect(
      shareOfTolerance(dry, emission(input(dry, 'NOx'), oxygen, input(dry, 'K'), input(dry, 'Fd'))),
    ).toBeLessThanOrEqual(1)
  })
})
