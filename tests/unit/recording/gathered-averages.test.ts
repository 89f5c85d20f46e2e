import { afterEach, expect, test } from 'vitest'
import type { IsoDuration } from '../../../protocols/words/time.ts'
import { GatheredAverages } from '../../../server/recording/gathered-averages.ts'
import { anAverage } from '../../support/an-average.ts'

let gathered = new GatheredAverages()
afterEach(() => {
  gathered.close()
  gathered = new GatheredAverages()
})

const minuteMs = 60_000
/** More than a page of them, as they come where long averages end later than short ones that began after them. */
const told = Array.from({ length: 2_600 }, (_, number) => {
  const place = (number * 37) % 2_600
  return anAverage({ startMs: place * minuteMs, endMs: (place + 1) * minuteMs, mean: place / 3 })
})
const byStart = told.toSorted((a, b) => a.startMs - b.startMs)

test('averages come in order of their start, whatever the order of telling, and as often as they are gone through', () => {
  for (const row of told) gathered.put('block', row)
  expect([...gathered.blocks]).toEqual(byStart)
  expect([...gathered.blocks]).toEqual(byStart)
  expect([...gathered.rolling]).toEqual([])
})

test('of an average told again the last is there, and no other is lost for it', () => {
  for (const row of told) gathered.put('rolling', { ...row, state: 'provisional', mean: -1 })
  for (const row of told) gathered.put('rolling', row)
  expect([...gathered.rolling]).toEqual(byStart)
})

test('averages that start together are all there: lengths, channels, quantities, units', () => {
  const together = [
    anAverage(),
    anAverage({ average: 'PT1H' as IsoDuration }),
    anAverage({ channel: 'o2' }),
    anAverage({ quantity: 'mass_concentration' }),
    anAverage({ unit: 'mg/m3' }),
  ]
  for (const row of together) gathered.put('block', row)
  expect([...gathered.blocks]).toHaveLength(together.length)
})

test('what they hold comes back to the last bit', () => {
  const row = anAverage({ mean: 0.1 + 0.2, uncertainty: 5e-324, minimum: -1e-7, reasons: ['coverage_low', 'gap'] })
  gathered.put('block', row)
  expect([...gathered.blocks]).toEqual([row])
})
