import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { compareRequest } from '../../../protocols/live/compare.ts'
import { compareSettings } from '../../../server/station/compare-settings.ts'
import { aRecordedNight } from '../../support/a-recorded-night.ts'
import { minute, ten } from '../../support/engine-night.ts'

// Expected values by hand. Reference oxygen, Directive 2010/75/EU, Annex VI, Part 7: (21 − O_ref) / (21 − O). Of steady gas with
// 11 % oxygen the factor is 18/10 at 3 % and 10/10 at 11 %: the value at 11 % is that at 3 % divided by 1.8.

const folder = mkdtempSync(join(tmpdir(), 'compared-'))
let path = ''
beforeAll(async () => {
  path = (await aRecordedNight(folder)).path
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const compared = (asked: object) => compareSettings(path, compareRequest.parse(asked))

test('another reference oxygen changes what is referred to it by just that factor, and nothing else', () => {
  const answer = compared({ set: { 'conversions.referenceOxygen': 11 }, average: 'PT30M' })
  const steady = answer.rows.find(
    ({ channel, quantity, startMs }) =>
      channel === 'co' && quantity === 'at_reference_oxygen' && startMs === ten + 30 * minute,
  )
  expect((steady?.present?.mean ?? 0) / (steady?.tried?.mean ?? 1)).toBeCloseTo(1.8, 12)
  expect(steady?.difference).toBeCloseTo((steady?.tried?.mean ?? 0) - (steady?.present?.mean ?? 0), 12)
  expect(new Set(answer.rows.filter(({ differs }) => differs).map(({ quantity }) => quantity))).toEqual(
    new Set(['at_reference_oxygen']),
  )
  expect(answer.changes).toEqual([{ path: 'conversions.referenceOxygen', from: 3, to: 11 }])
})

test('a stricter rule of validity changes what is valid, not the means', () => {
  // The log fills every half-hour but for settling; a rule of 31 counted minutes is met by none.
  const answer = compared({
    set: { 'averaging.validity': { rule: 'minutes', minimum: 31 } },
    average: 'PT30M',
    quantity: 'as_read',
  })
  expect(answer.counts).toEqual({
    compared: 8,
    different: 8,
    becameInvalid: 8,
    becameValid: 0,
    onlyPresent: 0,
    onlyTried: 0,
  })
  expect(
    answer.rows.every(({ difference, tried }) => difference === 0 && tried?.reasons.includes('minutes_short')),
  ).toBe(true)
})

test('averages of another length stand alone', () => {
  const answer = compared({ set: { 'averaging.blocks': ['PT30M', 'PT1H'] }, channel: 'co', quantity: 'as_read' })
  expect(answer.counts).toMatchObject({ compared: 4, different: 0, onlyTried: 2, onlyPresent: 120 })
})

test('a page of the differing rows is told, and how many there are', () => {
  const answer = compared({
    set: { 'conversions.referenceOxygen': 11 },
    average: 'PT30M',
    onlyDifferent: true,
    from: 1,
    most: 2,
  })
  // Half-hours with O2 at 11 % in mean; that with the hose off has more.
  expect([answer.rowsInAll, answer.rows.length, answer.rows.every(({ differs }) => differs)]).toEqual([4, 2, true])
})

test('nothing stored changes', () => {
  const before = readFileSync(path)
  compared({ set: { 'conversions.referenceOxygen': 11 } })
  expect(readFileSync(path).equals(before)).toBe(true)
})
