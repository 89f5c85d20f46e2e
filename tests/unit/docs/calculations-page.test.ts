import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { Species } from '../../../protocols/words/species.ts'
import {
  type Fraction,
  type Kelvin,
  type Kilopascal,
  type Ppm,
  quantity,
  type VolumePercent,
} from '../../../protocols/words/units.ts'
import { dryBasis } from '../../../server/engine/conversions/dry-basis.ts'
import { massConcentration } from '../../../server/engine/conversions/mass-concentration.ts'
import { nitrogenOxides, statedMolarMass } from '../../../server/engine/conversions/nox.ts'
import { atReferenceOxygen } from '../../../server/engine/conversions/reference-oxygen.ts'
import { robustMean } from '../../../server/engine/corrections/robust-mean.ts'
import { biasCorrected } from '../../../server/engine/corrections/run-bias.ts'

const page = readFileSync(join(import.meta.dirname, '../../../docs/calculations.md'), 'utf8')
const percent = (value: number) => quantity<VolumePercent>(value)
const referred = (value: number, oxygen: number, reference: number, ambient: number): number =>
  atReferenceOxygen(value, percent(oxygen), {
    reference: percent(reference),
    ambient: percent(ambient),
    guard: percent(19),
    onlyAboveReference: false,
  })
const mass = (ppm: number, species: Species, kelvin = 273.15, kilopascal = 101.325): number =>
  massConcentration(quantity<Ppm>(ppm), statedMolarMass(species, 'NO2'), {
    kelvin: quantity<Kelvin>(kelvin),
    kilopascal: quantity<Kilopascal>(kilopascal),
  })
const nox = (no: number, no2: number): number => nitrogenOxides(quantity<Ppm>(no), quantity<Ppm>(no2))

// The values themselves are checked against their sources in tests/standards; here the page is held against the code.
test.each([
  ['means first', referred(100, 10, 3, 20.9).toFixed(3)],
  ['readings first', ((referred(100, 5, 3, 20.9) + referred(100, 15, 3, 20.9)) / 2).toFixed(3)],
  ['wet ppm', dryBasis(82, quantity<Fraction>(0.18)).toFixed(3)],
  ['wet mg/m3', dryBasis(120, quantity<Fraction>(0.155)).toFixed(3)],
  ['CO', mass(1, 'CO').toFixed(5)],
  ['NO', mass(1, 'NO').toFixed(5)],
  ['NO2', mass(1, 'NO2').toFixed(5)],
  ['SO2', mass(1, 'SO2').toFixed(5)],
  ['H2S', mass(1, 'H2S').toFixed(5)],
  ['CO at 20 °C', mass(100, 'CO', 293.15).toFixed(3)],
  ['CO at 101.3 kPa', mass(100, 'CO', 273.15, 101.3).toFixed(3)],
  ['NOx', mass(nox(80, 4), 'NOx').toFixed(3)],
  ['EU air', referred(150, 5.2, 3, 21).toFixed(3)],
  ['US air', referred(150, 5.2, 3, 20.9).toFixed(3)],
  ['15 %', referred(18, 13.8, 15, 20.9).toFixed(3)],
  ['robust mean', robustMean(Float64Array.of(4.5, 4.9, 5.6, 4.2, 6.2, 5.2, 9.9)).mean.toFixed(3)],
  ['its spread', (robustMean(Float64Array.of(4.5, 4.9, 5.6, 4.2, 6.2, 5.2, 9.9)).spread ?? 0).toFixed(3)],
  ['run mean', biasCorrected(62, { low: 0.7, lowGas: 0, upscale: 87.8, upscaleGas: 90 }).toFixed(3)],
  ['the whole chain', referred(mass(nox(120, 6), 'NOx'), 6.2, 3, 21).toFixed(3)],
])('the page’s worked value is what the code gives: %s', (_, value) => {
  expect(page).toContain(`**${value}**`)
})
