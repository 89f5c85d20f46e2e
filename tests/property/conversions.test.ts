import fc from 'fast-check'
import { expect, test } from 'vitest'
import {
  type Fraction,
  type GramPerMol,
  type Kelvin,
  type Kilopascal,
  type Ppm,
  quantity,
  type VolumePercent,
} from '../../protocols/words/units.ts'
import { conversionPlan } from '../../server/engine/conversions/conversion-plan.ts'
import { dryBasis } from '../../server/engine/conversions/dry-basis.ts'
import { massConcentration, volumeFraction } from '../../server/engine/conversions/mass-concentration.ts'
import { atReferenceOxygen } from '../../server/engine/conversions/reference-oxygen.ts'
import { aChannel, aStation, aSum } from '../support/a-station.ts'

// Below 1e-300 doubles lose digits by themselves.
const finite = fc
  .double({ noNaN: true, noDefaultInfinity: true, min: -1e6, max: 1e6 })
  .filter((value) => value === 0 || Math.abs(value) > 1e-300)

test('dry is never closer to zero than wet', () => {
  fc.assert(
    fc.property(finite, fc.double({ min: 0, max: 0.95, noNaN: true }), (wet, water) => {
      expect(Math.abs(dryBasis(wet, quantity<Fraction>(water)))).toBeGreaterThanOrEqual(Math.abs(wet))
    }),
  )
})

test('at the reference oxygen the correction changes nothing, to the last bit', () => {
  fc.assert(
    fc.property(
      finite,
      fc.double({ min: 0, max: 18, noNaN: true }),
      fc.constantFrom(20.9, 20.95, 21),
      (value, reference, ambient) => {
        const oxygen = quantity<VolumePercent>(reference)
        const by = {
          reference: oxygen,
          ambient: quantity<VolumePercent>(ambient),
          guard: quantity<VolumePercent>(19),
          onlyAboveReference: false,
        }
        expect(atReferenceOxygen(value, oxygen, by)).toBe(value)
      },
    ),
  )
})

test('ppm → mg/m3 → ppm returns', () => {
  fc.assert(
    fc.property(
      finite,
      fc.double({ min: 2, max: 300, noNaN: true }),
      fc.double({ min: 200, max: 400, noNaN: true }),
      fc.double({ min: 50, max: 120, noNaN: true }),
      (ppm, molar, kelvin, kilopascal) => {
        const at = { kelvin: quantity<Kelvin>(kelvin), kilopascal: quantity<Kilopascal>(kilopascal) }
        const mass = massConcentration(quantity<Ppm>(ppm), quantity<GramPerMol>(molar), at)
        const back = volumeFraction(mass, quantity<GramPerMol>(molar), at)
        expect(Math.abs(back - ppm)).toBeLessThanOrEqual(4 * Number.EPSILON * Math.abs(ppm))
      },
    ),
  )
})

const anyInput = fc.oneof(fc.double(), finite, fc.constantFrom(21, 20.95, 20.9, 19, 100, 95, 0, -0, Number.NaN))
const wetPlan = conversionPlan(
  aStation(
    [
      aChannel('no', { species: 'NO', basis: 'wet' }),
      aChannel('no2', { species: 'NO2', basis: 'wet', unit: 'ppb' }),
      aSum('nox', ['no', 'no2'], { species: 'NOx', basis: 'wet' }),
      aChannel('o2', { species: 'O2', unit: 'vol%', basis: 'wet' }),
      aChannel('h2o', { species: 'H2O', unit: 'vol%', basis: 'wet' }),
    ],
    { conversions: { referenceOxygen: 3, moisture: { channel: 'h2o' } } },
  ),
)

test('whatever comes in, a converted value is finite, or NaN with a reason', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...wetPlan.values),
      fc.array(anyInput, { minLength: 4, maxLength: 4 }),
      (value, inputs) => {
        const converted = value.convert(inputs)
        if (!Number.isFinite(converted)) {
          expect(converted).toBeNaN()
          if (inputs.every((one) => Math.abs(one) < 1e100)) expect(value.reason(inputs)).not.toBeNull()
        }
      },
    ),
  )
})
