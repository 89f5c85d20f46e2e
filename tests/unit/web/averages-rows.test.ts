import { describe, expect, test } from 'vitest'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { tabSeparated } from '../../../web/parts/copy-text.ts'
import { copiedRows } from '../../../web/views/averages/copied-rows.ts'
import { ordered, pressed, usualOrder } from '../../../web/views/averages/row-order.ts'
import { endedRows } from '../../support/fixture-live/averages.ts'
import { channels, limits } from '../../support/fixture-live/scenario.ts'

const nowMs = Date.parse('2026-11-25T03:17:40Z')
const rows = endedRows('PT30M' as IsoDuration, nowMs - 6 * 3_600_000, nowMs, nowMs).filter(
  ({ channel, quantity }) => channel === 'co' && quantity === 'at_reference_oxygen',
)
const [first, second] = rows
if (!first || !second) throw new Error('the invented night has no blocks')
const berlin = { zone: 'Europe/Berlin', standardTime: false, offsetMinutes: 60 }

describe('the order of the table', () => {
  test('an average without a value comes last, whichever way it is ordered', () => {
    const empty = { ...first, mean: null }
    const both = [true, false].map((down) => ordered([empty, first, second], { by: 'mean', down }, channels).at(-1))
    expect(both).toEqual([empty, empty])
  })
  test('by validity the invalid ones come first', () => {
    const list = [first, { ...first, valid: false }, { ...first, state: 'provisional' as const }]
    expect(ordered(list, pressed(usualOrder, 'validity'), channels).map(({ valid, state }) => [valid, state])).toEqual([
      [false, first.state],
      [true, 'provisional'],
      [true, first.state],
    ])
  })
  test('pressing the same heading turns the order about', () => {
    expect(pressed(pressed(usualOrder, 'mean'), 'mean')).toEqual({ by: 'mean', down: false })
  })
})

describe('a copied table', () => {
  test('holds every digit with the decimal mark asked for, and the offset of its times', () => {
    const row = { ...first, mean: 117.123456789012, startMs: Date.parse('2026-11-25T02:30:00Z') }
    const [, line] = copiedRows([row], channels, limits, 'ignore', berlin, ',').split('\r\n')
    expect(line?.split('\t').slice(0, 9)).toEqual([
      '2026-11-25T03:30:00+01:00',
      expect.stringMatching(/\+01:00$/),
      '30 minutes',
      'CO',
      'at reference oxygen',
      'mg/m³',
      'dry',
      '3',
      '117,123456789012',
    ])
  })
  test('keeps what a mean means: provisional or final, its detection and the conditions of its volume', () => {
    const row = { ...first, state: 'provisional', detection: 'BDL', conditions: '273.15K,101.325kPa' } as const
    const [heading, line] = copiedRows([row], channels, limits, 'ignore', berlin, '.').split('\r\n')
    expect(heading?.split('\t').slice(-3)).toEqual(['State', 'Detection', 'Conditions'])
    expect(line?.split('\t').slice(-3)).toEqual(['provisional', 'BDL', '273.15K,101.325kPa'])
  })
  test('a text that a spreadsheet would compute stays text; a negative number stays a number', () => {
    expect(tabSeparated([['=1+1', '@x', -0.5, null, 'two\tcells\nin one']], '.')).toBe(
      "'=1+1\t'@x\t-0.5\t\ttwo cells in one",
    )
  })
})
