import { describe, expect, test } from 'vitest'
import { conversionPlan } from '../../server/engine/conversions/conversion-plan.ts'
import type { StationFileInput } from '../../server/engine/settings/station-file.ts'
import { aChannel, aStation, aSum } from '../support/a-station.ts'
import { input, list, shareOfTolerance, workedValue } from '../support/worked-values.ts'

const o2 = aChannel('o2', { species: 'O2', unit: 'vol%' })
const mean = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0) / values.length

/** The station's at-reference value of its first channel. */
function referred(channels: StationFileInput['channels'], conversions: NonNullable<StationFileInput['conversions']>) {
  const { values } = conversionPlan(aStation(channels, { conversions }))
  const found = values.find(({ channel, quantity }) => channel === 0 && quantity === 'at_reference_oxygen')
  if (!found) throw new Error('nothing is referred')
  return found
}

// Source: data-handling rule AV-12 after 44. BImSchV § 30(1), 40 CFR 60.1750(a), 60.6490(a): form the means, then convert.
// 100 ppm twice, at 5 and 15 % O2, referred to 3 % with 20.9 % in air: 100 · 17.9 / (20.9 − 10) = 164.220183; reading by
// reading (17.9/15.9 + 17.9/5.9) · 50 = 207.984223. Both worked by hand.
test('V11: converting means and averaging converted readings differ by 27 %', () => {
  const value = referred([aChannel('nox', { species: 'NOx' }), o2], {
    referenceOxygen: 3,
    ambientOxygen: 20.9,
    referredUnit: 'ppm',
  })
  expect(value.inputs).toEqual([0, 1])
  expect(value.convert([100, mean([5, 15])])).toBeCloseTo(164.220183, 6)
  expect(mean([value.convert([100, 5]), value.convert([100, 15])])).toBeCloseTo(207.984223, 6)
})

describe('worked values', () => {
  // MEAN-1: EU practice of normalising each short value; MEAN-2: US practice of averaging first. The same data.
  test('MEAN-1 and MEAN-2: 500 or 300 mg/m3 from the same readings', () => {
    const value = referred([aChannel('co', { species: 'CO', unit: 'mg/m3' }), o2], {
      referenceOxygen: 3,
      ambientOxygen: 21,
    })
    const each = workedValue('MEAN-1')
    const [c, oxygen] = [list(each, 'c'), list(each, 'O2')]
    expect(
      shareOfTolerance(each, mean(c.map((one, place) => value.convert([one, oxygen[place] ?? Number.NaN])))),
    ).toBeLessThanOrEqual(1)
    expect(shareOfTolerance(workedValue('MEAN-2'), value.convert([mean(c), mean(oxygen)]))).toBeLessThanOrEqual(1)
  })

  const no = aChannel('no', { species: 'NO' })
  const no2 = aChannel('no2', { species: 'NO2' })
  const nox = aSum('nox', ['no', 'no2'], { species: 'NOx' })

  // Source: Directive 2010/75/EU and 2015/2193, scope text of EN 14792: NOx is expressed as NO2.
  test('EU-9: NO and NO2 in ppm, as NO2 mass', () => {
    const row = workedValue('EU-9')
    const { values } = conversionPlan(aStation([nox, no, no2]))
    const value = values.find(({ channel, quantity }) => channel === 0 && quantity === 'mass_concentration')
    expect(value?.inputs).toEqual([1, 2])
    expect(
      shareOfTolerance(row, value?.convert([input(row, 'NO'), input(row, 'NO2')]) ?? Number.NaN),
    ).toBeLessThanOrEqual(1)
  })

  // Source: EU-1 and EU-9 combined.
  test('EU-15: the whole chain from NO, NO2 and O2 to mg/m3 at 3 % O2', () => {
    const row = workedValue('EU-15')
    const value = referred([nox, no, no2, o2], {
      referenceOxygen: input(row, 'O2B'),
      ambientOxygen: input(row, 'air_O2'),
    })
    expect(value.inputs).toEqual([1, 2, 3])
    expect(
      shareOfTolerance(row, value.convert([input(row, 'NO'), input(row, 'NO2'), input(row, 'O2')])),
    ).toBeLessThanOrEqual(1)
  })
})

// Source: US EPA Method 19, eq. 19-3 and 19-5: wet oxygen must be dried before it refers anything. 82 ppm and 2.46 % O2 wet
// at 18 % water are 100 ppm and 3 % dry, so at 3 % O2 the value is 100 ppm, by hand.
test('wet gas is dried, its oxygen too, before it is referred', () => {
  const value = referred(
    [
      aChannel('nox', { species: 'NOx', basis: 'wet' }),
      aChannel('o2', { species: 'O2', unit: 'vol%', basis: 'wet' }),
      aChannel('h2o', { species: 'H2O', unit: 'vol%', basis: 'wet' }),
    ],
    { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', moisture: { channel: 'h2o' } },
  )
  expect(value.inputs).toEqual([0, 1, 2])
  expect(value.convert([82, 2.46, 18])).toBeCloseTo(100, 10)
})
