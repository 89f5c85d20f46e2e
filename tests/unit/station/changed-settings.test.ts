import { describe, expect, test } from 'vitest'
import { settingChanges, withChanges } from '../../../server/station/changed-settings.ts'
import { aNightStation, gas } from '../../support/engine-night.ts'

const station = aNightStation({
  channels: [gas('co'), gas('o2')],
  conversions: { referenceOxygen: 3, ambientOxygen: 21 },
  averaging: { blocks: ['PT30M', 'PT1H'] },
  limits: [
    { id: 'half-hour', channel: 'co', of: 'block', average: 'PT30M', value: 80, unit: 'mg/m3', referenceOxygen: 3 },
    { id: 'hour', channel: 'co', of: 'block', average: 'PT1H', value: 60, unit: 'mg/m3', referenceOxygen: 3 },
  ],
})
const changed = (...texts: string[]) => withChanges(station, settingChanges(texts))

describe('settings that are tried', () => {
  test('another reference oxygen takes the limits at it along, and says so', () => {
    const { station: tried, notes, changes } = changed('conversions.referenceOxygen=11')
    expect(tried.conversions.referenceOxygen).toBe(11)
    expect(tried.limits.map(({ referenceOxygen }) => referenceOxygen)).toEqual([11, 11])
    expect(notes).toEqual(['limits at 3 vol% oxygen go with it, to 11: half-hour, hour'])
    expect(changes).toEqual([{ path: 'conversions.referenceOxygen', from: 3, to: 11 }])
  })
  test('the reference oxygen that there is takes nothing along, and nothing is said', () => {
    expect(changed('conversions.referenceOxygen=3').notes).toEqual([])
  })
  test('a limit whose reference oxygen is tried itself does not follow, and is refused where it cannot be formed', () => {
    expect(() => changed('conversions.referenceOxygen=11', 'limits.hour.referenceOxygen=5')).toThrow(
      'limits[1].referenceOxygen: 5 differs from 11',
    )
  })
  test('averages that are formed no longer take their limits with them', () => {
    const { station: tried, notes } = changed('averaging.blocks=["PT1H"]')
    expect(tried.limits.map(({ id }) => id)).toEqual(['hour'])
    expect(notes).toEqual(['limits of averages that are no longer formed are left out: half-hour'])
  })
  test('averages of blocks that are formed no longer are left out with their limits, and that is said', () => {
    const withDay = aNightStation({
      channels: [gas('co')],
      averaging: {
        blocks: ['PT30M', 'PT1H'],
        ofBlocks: [
          { average: 'P1D', of: 'PT30M', valid: { atMostInvalid: 5 } },
          { average: 'PT3H', of: 'PT1H', valid: { share: '3/4' } },
        ],
      },
      limits: [{ id: 'day', channel: 'co', of: 'block', average: 'P1D', value: 50, unit: 'ppm' }],
    })
    const trial = (text: string) => withChanges(withDay, settingChanges([text]))
    const { station: tried, notes } = trial('averaging.blocks=["PT1H"]')
    expect(tried.averaging.ofBlocks.map(({ average }) => average)).toEqual(['PT3H'])
    expect(tried.limits).toEqual([])
    expect(notes).toEqual([
      'averages of blocks that are no longer formed are left out: P1D of PT30M',
      'limits of averages that are no longer formed are left out: day',
    ])
    expect(trial('averaging.align=run').station.averaging.ofBlocks.map(({ average }) => average)).toEqual(['PT3H'])
    expect(trial('averaging.blocks=["PT30M","PT1H"]').notes).toEqual([])
  })
  test('nothing but what is tried changes: a recording of 0.1.0 knew no limit of drift, which the regime presets today', () => {
    const { drift: _, ...corrections } = station.corrections
    const of010 = { ...station, regime: 'eu' as const, corrections }
    expect(withChanges(of010, {}).station).toEqual(of010)
    expect(withChanges(of010, { 'conversions.ambientOxygen': 20.9 }).station.corrections).toEqual(corrections)
  })
  test('a limit is found by its id or its place', () => {
    expect(changed('limits.half-hour.value=70').station.limits[0]?.value).toBe(70)
    expect(changed('limits.1.value=50').station.limits[1]?.value).toBe(50)
  })
  test('settling and validity can be tried', () => {
    const { station: tried } = changed('phases.settle={"seconds":300}', 'averaging.validity.minimum=3/4')
    expect([tried.phases.settle, tried.averaging.validity]).toEqual([
      { seconds: 300 },
      { rule: 'fraction', minimum: '3/4' },
    ])
  })
  test('the station itself stays as it is', () => {
    changed('conversions.referenceOxygen=11')
    expect(station.limits.map(({ referenceOxygen }) => referenceOxygen)).toEqual([3, 3])
  })
  test.each([
    ['conversions.referenceOxygen', 'is not path=value'],
    ['conversions.__proto__.polluted=1', 'there is no such place'],
    ['limits.quarter.value=3', 'there is no such place'],
    ['conversions.ambientOxigen=20.9', 'ambientOxigen'],
    ['conversions.referenceOxygen=25', 'conversions.referenceOxygen'],
  ])('%s is refused with the place and what is allowed', (text, told) => {
    expect(() => changed(text)).toThrow(told)
  })
})
