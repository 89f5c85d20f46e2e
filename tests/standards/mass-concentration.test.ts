import { describe, expect, test } from 'vitest'
import {
  type GramPerMol,
  type Kelvin,
  type Kilopascal,
  type MgPerM3,
  type Ppm,
  quantity,
} from '../../protocols/words/units.ts'
import {
  atConditions,
  type Conditions,
  conditionsText,
  massConcentration,
  volumeFraction,
} from '../../server/engine/conversions/mass-concentration.ts'
import { statedMolarMass } from '../../server/engine/conversions/nox.ts'
import { input, shareOfTolerance, workedValue } from '../support/worked-values.ts'

const at = (kelvin: number, kilopascal: number): Conditions => ({
  kelvin: quantity<Kelvin>(kelvin),
  kilopascal: quantity<Kilopascal>(kilopascal),
})
const normal = at(273.15, 101.325)
const ppm = (value: number) => quantity<Ppm>(value)

// Two-decimal factors in general use at 273.15 K and 101.325 kPa; CO 1.25 and NO2 2.05 are also printed in the US marine
// engine rules, the others are common practice. The tolerance is the rounding of the printed figure.
test.each([
  { species: 'CO', printed: 1.25 },
  { species: 'NO', printed: 1.34 },
  { species: 'NO2', printed: 2.05 },
  { species: 'SO2', printed: 2.86 },
  { species: 'H2S', printed: 1.52 },
  { species: 'HCl', printed: 1.63 },
  { species: 'NOx', printed: 2.05 },
] as const)('1 ppm of $species is $printed mg/m3 at normal conditions', ({ species, printed }) => {
  expect(Math.abs(massConcentration(ppm(1), statedMolarMass(species, 'NO2'), normal) - printed)).toBeLessThanOrEqual(
    0.005,
  )
})

// Source: 40 CFR 60.4244(d) prints 1.912e-3 g/m3 per ppm of NO2 at 20 °C, cut after the last digit.
test('1 ppm of NO2 is 1.912 mg/m3 at the US standard temperature', () => {
  expect(Math.floor(massConcentration(ppm(1), statedMolarMass('NO2', 'NO2'), at(293.15, 101.325)) * 1000)).toBe(1912)
})

describe('published equations, worked', () => {
  // Sources: EU reference state 273.15 K and 101.3 kPa with the factors above (EU-5 … EU-8).
  test.each([['EU-5'], ['EU-6'], ['EU-7'], ['EU-8']])('%s: 1 ppm at 0 °C', (id) => {
    const row = workedValue(id)
    const value = massConcentration(ppm(input(row, 'ppm')), quantity<GramPerMol>(input(row, 'M')), normal)
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })

  // Sources: ideal gas (EU-10, 20 °C); directive text with 101.3 kPa (EU-12).
  test.each([['EU-10'], ['EU-12']])('%s: CO at the conditions that the permit names', (id) => {
    const row = workedValue(id)
    const value = massConcentration(
      ppm(input(row, 'CO')),
      statedMolarMass('CO', 'NO2'),
      at(input(row, 'T'), input(row, 'P')),
    )
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })

  // Source: open engineering worked example at 25 °C.
  test('EU-11: mg/m3 back to ppm', () => {
    const row = workedValue('EU-11')
    const value = volumeFraction(
      quantity<MgPerM3>(input(row, 'c')),
      quantity<GramPerMol>(input(row, 'M')),
      at(273.15 + input(row, 't'), 101.325),
    )
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })

  // Source: ideal gas; reference state of Directive 2010/75/EU.
  test('EU-14: stack conditions to normal conditions', () => {
    const row = workedValue('EU-14')
    const value = atConditions(quantity<MgPerM3>(input(row, 'c')), at(input(row, 'T'), input(row, 'p')), normal)
    expect(shareOfTolerance(row, value)).toBeLessThanOrEqual(1)
  })

  // Source: 40 CFR 60.4244(d), g/m3 per ppm.
  test('GT-5: the US factor for NO2', () => {
    const row = workedValue('GT-5')
    const value = massConcentration(ppm(1), quantity<GramPerMol>(input(row, 'M')), at(input(row, 'T'), 101.325))
    expect(shareOfTolerance(row, value / 1000)).toBeLessThanOrEqual(1)
  })
})

test('the conditions are written as the exports have them', () => {
  expect(conditionsText(normal)).toBe('273.15K,101.325kPa')
})
