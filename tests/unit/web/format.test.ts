import { describe, expect, test } from 'vitest'
import { averageText, durationText } from '../../../web/format/durations.ts'
import { bytesText, numberText, percentText, uncertainTexts } from '../../../web/format/numbers.ts'
import {
  axisInstants,
  axisText,
  fieldOfInstant,
  instantOfField,
  offsetText,
  spanText,
  timeText,
} from '../../../web/format/times.ts'
import { limitUnitText, rowUnitText } from '../../../web/format/units.ts'

const berlin = { zone: 'Europe/Berlin', standardTime: false, offsetMinutes: 60 }
const winter = Date.parse('2026-11-25T03:17:40Z')

describe('times', () => {
  test('are the station’s, with their offset from UTC', () => {
    expect(timeText(winter, berlin)).toBe('04:17:40 +01:00')
    expect(timeText(Date.parse('2026-07-01T03:17:40Z'), berlin)).toBe('05:17:40 +02:00')
  })
  test('in a zone of a half hour, and in standard time all year', () => {
    expect(timeText(winter, { zone: 'Asia/Kolkata', standardTime: false, offsetMinutes: 330 })).toBe('08:47:40 +05:30')
    expect(timeText(Date.parse('2026-07-01T03:17:40Z'), { ...berlin, standardTime: true })).toBe('04:17:40 +01:00')
    expect(offsetText(winter, { zone: 'America/St_Johns', standardTime: false, offsetMinutes: -210 })).toBe('−03:30')
  })
  test('a block over the end of summer time has an offset at each end', () => {
    // 25 October 2026, 01:00 UTC: clocks in the EU go back by an hour (Directive 2000/84/EC, last Sunday of October).
    expect(spanText(Date.parse('2026-10-25T00:30:00Z'), Date.parse('2026-10-25T01:30:00Z'), berlin)).toBe(
      '02:30 +02:00–02:30 +01:00',
    )
    expect(spanText(winter, winter + 1_800_000, berlin)).toBe('04:17–04:47 +01:00')
  })
  test('what is typed into a field is the station’s time', () => {
    expect(instantOfField('2026-11-25T06:30', berlin)).toBe('2026-11-25T06:30:00+01:00')
    expect(instantOfField('2026-07-25T06:30', berlin)).toBe('2026-07-25T06:30:00+02:00')
    expect(instantOfField('tomorrow', berlin)).toBeNull()
    expect(fieldOfInstant(winter, berlin)).toBe('2026-11-25T04:17')
  })
  test('an axis has whole steps of the station’s own clock, no more than asked, and the day at midnight', () => {
    const night = axisInstants(Date.parse('2026-11-24T18:06:00Z'), winter, 10, {
      zone: 'Asia/Kolkata',
      standardTime: false,
      offsetMinutes: 330,
    })
    expect(night.length).toBeLessThanOrEqual(11)
    expect(night.map((at) => new Date(at).getUTCMinutes())).toEqual(night.map(() => 30))
    expect(axisText(Date.parse('2026-11-24T23:00:00Z'), 3_600_000, berlin)).toMatch(/25/)
  })
})

describe('durations are words', () => {
  test.each([
    [0, '0 s'],
    [59_900, '59 s'],
    [760_000, '12 min 40 s'],
    [3_600_000, '1 h'],
    [22_320_000, '6 h 12 min'],
    [273_600_000, '3 d 4 h'],
    [-5, '0 s'],
  ])('%i ms is %s', (ms, text) => {
    expect(durationText(ms)).toBe(text)
  })
  test.each([
    ['PT30M', '30 minutes'],
    ['PT1H', '1 hour'],
    ['PT1M', '1 minute'],
    ['PT1H30M', '1 hour 30 minutes'],
    ['P1D', 'day'],
    ['PT28800S', 'whole run'],
    ['P2D', 'P2D'],
  ])('%s is %s', (iso, text) => {
    expect(averageText(iso)).toBe(text)
  })
})

describe('numbers', () => {
  test('always have the channel’s decimals', () => {
    expect([numberText(3.9, 2), numberText(189.49, 0)]).toEqual(['3.90', '189'])
  })
  test('small negative noise that rounds to nothing has no sign, larger keeps it', () => {
    expect([numberText(-0.04, 1), numberText(-0.26, 1)]).toEqual(['0.0', '-0.3'])
  })
  test('a coverage that is not whole never reads 100 %', () => {
    expect([percentText(0.9996), percentText(1), percentText(2 / 3)]).toEqual(['99 %', '100 %', '67 %'])
  })
  test('sizes are decimal multiples', () => {
    expect([bytesText(999), bytesText(4_812_800)]).toEqual(['999 B', '4.8 MB'])
  })
})

test('a unit has its basis and reference oxygen with it', () => {
  expect(limitUnitText({ unit: 'mg/m3', referenceOxygen: 3, basis: 'dry' })).toBe('mg/m³ at 3 % O₂, dry')
  expect(rowUnitText({ unit: 'ppm', referenceOxygen: null, basis: 'wet' })).toBe('ppm, wet')
  expect(rowUnitText({ unit: 'degC', referenceOxygen: null, basis: null })).toBe('°C')
})

describe('a mean with its uncertainty', () => {
  // JCGM 100:2008, 7.2.6: U to at most two significant digits, the estimate to the same place.
  test.each([
    [84.4567, 3.7832, '84.5', '3.8'],
    [9.9961, 0.0996, '10.00', '0.10'],
    [0.123456, 0.0123, '0.123', '0.012'],
    [1234.5, 126, '1,230', '130'],
    [52.04, 99.7, '50', '100'],
    [-0.04, 1.2, '0.0', '1.2'],
  ])('%d with U %d reads %s ± %s', (mean, uncertainty, ...texts) => {
    expect(uncertainTexts(mean, uncertainty, 1)).toEqual(texts)
  })
  test('of which nothing is known keeps the channel’s decimals', () => {
    expect(uncertainTexts(84.4567, null, 1)).toEqual(['84.5', null])
  })
})
