import { describe, expect, test } from 'vitest'
import { stationClock } from '../../../server/reports/time-text.ts'

const legal = stationClock({ timeZone: 'Europe/Berlin', standardTime: false })
const standard = stationClock({ timeZone: 'Europe/Berlin', standardTime: true })

describe('the night on which the clocks are put back', () => {
  // Europe/Berlin, 2026-10-25: at 01:00 UTC 03:00 summer time becomes 02:00. Source: Directive 2000/84/EC, article 3.
  test('02:30 comes twice, and the offset tells which', () => {
    expect(legal.text(Date.UTC(2026, 9, 25, 0, 30))).toBe('2026-10-25T02:30:00+02:00')
    expect(legal.text(Date.UTC(2026, 9, 25, 1, 30))).toBe('2026-10-25T02:30:00+01:00')
  })

  test('standard time goes on as if nothing were', () => {
    expect(standard.text(Date.UTC(2026, 9, 25, 0, 30))).toBe('2026-10-25T01:30:00+01:00')
    expect(standard.text(Date.UTC(2026, 6, 1, 12))).toBe('2026-07-01T13:00:00+01:00')
  })

  test('the offset is right to the millisecond of the change', () => {
    expect(legal.text(Date.UTC(2026, 9, 25, 1) - 1)).toBe('2026-10-25T02:59:59.999+02:00')
    expect(legal.text(Date.UTC(2026, 9, 25, 1))).toBe('2026-10-25T02:00:00+01:00')
  })
})

test('zones west of Greenwich, by half hours, and UTC', () => {
  expect(stationClock({ timeZone: 'America/St_Johns', standardTime: false }).text(Date.UTC(2026, 0, 1))).toBe(
    '2025-12-31T20:30:00-03:30',
  )
  expect(stationClock({ timeZone: 'Asia/Kolkata', standardTime: true }).text(Date.UTC(2026, 0, 1))).toBe(
    '2026-01-01T05:30:00+05:30',
  )
  expect(stationClock({ timeZone: 'UTC', standardTime: false }).text(Date.UTC(2026, 0, 1))).toBe(
    '2026-01-01T00:00:00+00:00',
  )
})
