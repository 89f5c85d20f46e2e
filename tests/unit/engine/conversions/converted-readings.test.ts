import { expect, test } from 'vitest'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

const conversions = { applyTo: 'readings', referenceOxygen: 3, ambientOxygen: 20.9, oxygenGuard: 20 } as const
const station = aNightStation({
  channels: [gas('co'), gas('o2')],
  conversions,
  averaging: { blocks: ['PT30M'], rolling: ['PT30M'] },
})
/** Half an hour at 5 % oxygen, then one of which every sixth reading is at 20.5 %, where nothing can be referred. */
const night = lines(ten, 60, minute, (number) => ({
  mode: 'S',
  co: 100,
  o2: number >= 30 && number % 6 === 0 ? 20.5 : 5,
}))
const put = outputsOf(station, during(ten, ten + 60 * minute, night))

test('what cannot be referred reading by reading is left out, counts no time, and is said', () => {
  const rows = put.blocks('PT30M', 'co', 'at_reference_oxygen')
  expect(rows.map(({ count, countedMs, reasons, valid }) => [count, countedMs / minute, reasons, valid])).toEqual([
    [30, 30, [], true],
    [25, 25, ['readings_not_converted'], true],
  ])
  // All that is left lies at 5 %: the mean is that of the first half-hour.
  expect(rows[1]?.mean).toBeCloseTo(rows[0]?.mean ?? Number.NaN, 9)
})
test('a rolling average says it as long as it reaches back to one of them', () => {
  const at = (minutes: number) =>
    put.rolling('PT30M', 'co', 'at_reference_oxygen').find(({ endMs }) => endMs === ten + minutes * minute)?.reasons
  expect([at(30), at(31), at(60)]).toEqual([[], ['readings_not_converted'], ['readings_not_converted']])
})
test('values as read are not touched by it', () => {
  expect(put.blocks('PT30M', 'co').map(({ count, reasons }) => [count, reasons])).toEqual([
    [30, []],
    [30, []],
  ])
})
