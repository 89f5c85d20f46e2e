import { expect, test } from 'vitest'
import { PlantTracker } from '../../../../server/engine/phases/plant-state.ts'
import { aChannel, aStation } from '../../../support/a-station.ts'

const minute = 60_000
const day = 1440 * minute

test('of a burner that goes on and off for a month three days are remembered, which is all that is asked about', () => {
  const plant = new PlantTracker(
    aStation([aChannel('co', { species: 'CO' })], { plantState: { from: 'operator' } }).plantState,
  )
  const month = 30 * day
  for (let at = 0; at < month; at += minute) plant.tell('operator', at, (at / minute) % 3 === 0 ? 'off' : 'running')
  // A minute off, two running: of the last day two thirds.
  expect(plant.runningMs(month - day, month)).toBe((2 / 3) * day)
  expect(plant.at(month - day)).toBe('off')
  expect(plant.nextChange(month - day)).toBe(month - day + minute)
  expect(plant.nextChange(0)).toBeGreaterThanOrEqual(month - 3 * day - 3 * minute)
})
