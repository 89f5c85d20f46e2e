import { expect, test } from 'vitest'
import { cleanAir, type Gas } from '../../../simulator/plant/flue-gas.ts'
import { type CellSettings, cellSettings, makeCell } from '../../../simulator/sampling/cell.ts'

const aCell = (of: Partial<CellSettings>) =>
  makeCell(
    cellSettings.parse({
      species: 'CO',
      range: [0, 10_000],
      resolution: 1e-9,
      t90Seconds: 35,
      statedT95Seconds: 60,
      statedError: { absolute: 1, relative: 0.01 },
      ...of,
    }),
    1,
  )
const dry = (of: Partial<Gas>): Gas => ({ ...cleanAir, water: 0, ...of })
const hold = (cell: ReturnType<typeof aCell>, gas: Gas, seconds: number, isZeroing = false): void => {
  for (let second = 0; second < seconds; second++) cell.step(gas, 1, 1, 20, isZeroing)
}

test('after t90 a cell shows 90 % of a step', () => {
  // Source: IUPAC Gold Book R05346: time from the step to 90 % of the final change.
  const cell = aCell({})
  hold(cell, dry({ CO: 0 }), 1)
  hold(cell, dry({ CO: 500 }), 35)
  expect(cell.reading).toBeCloseTo(450, 6)
})

test('500 ppm die away to 1 ppm after 94.5 s at a t90 of 35 s', () => {
  // First-order decay by hand: 35 · log10(500) = 94.464 s; at 94 s 500 · 10^(−94/35) = 1.031 ppm are left.
  const cell = aCell({})
  hold(cell, dry({ CO: 500 }), 1)
  hold(cell, dry({ CO: 0 }), 94)
  expect(cell.reading).toBeCloseTo(1.031, 3)
})

test('a cell that reads other gases shows 48.75 ppm for 60 ppm of SO2', () => {
  // By hand: 60 + 0.005 · 150 CO + 0.04 · 100 NO − 0.8 · 20 NO2 = 48.75.
  const cell = aCell({ species: 'SO2', cross: { CO: 0.005, NO: 0.04, NO2: -0.8 } })
  hold(cell, dry({ SO2: 60, CO: 150, NO: 100, NO2: 20 }), 1)
  expect(cell.reading).toBeCloseTo(48.75, 6)
})

test('a span drifts from its calibration on, and a bent cell departs most at low levels', () => {
  // By hand: 24 h before and one now at 0.0004 an hour make a span of 1.01; at 100 of 1000 ppm a bend of 0.02 adds 1.8 %: 1.01 · 101.8 = 102.818.
  const cell = aCell({ range: [0, 1000], spanDriftPerHour: 0.0004, hoursSinceCalibration: 24, bend: 0.02 })
  cell.step(dry({ CO: 100 }), 3600, 1, 20, false)
  expect(cell.reading).toBeCloseTo(102.818, 6)
})

test('span, zero and the cell’s temperature act as declared', () => {
  // By hand: 1.02 · 100 + 2 + 0.1 · (30 − 20) = 105.
  const cell = aCell({ span: 1.02, zero: 2, zeroPerKelvin: 0.1 })
  cell.step(dry({ CO: 100 }), 1, 1, 30, false)
  expect(cell.reading).toBeCloseTo(105, 6)
})

test('water that the cooler left thins the reading', () => {
  // By hand: 100 ppm dry with 0.8 % of water are 99.2 ppm wet.
  const cell = aCell({})
  hold(cell, dry({ CO: 100, water: 0.8 }), 1)
  expect(cell.reading).toBeCloseTo(99.2, 6)
})

test('the zero runs away at its rate in the first hour', () => {
  // 3 ppm/h: 3 · 24 · (1 − exp(−1/24)) = 2.938 ppm after an hour, since it levels off over a day.
  const cell = aCell({ driftPerHour: 3 })
  hold(cell, dry({}), 3600)
  expect(cell.reading).toBeCloseTo(2.938, 3)
})

test('a weak flow slows the response in proportion', () => {
  const cell = aCell({})
  hold(cell, dry({ CO: 0 }), 1)
  for (let second = 0; second < 70; second++) cell.step(dry({ CO: 500 }), 1, 2, 20, false)
  expect(cell.reading).toBeCloseTo(450, 6)
})

test('a reading has the instrument’s resolution', () => {
  const cell = aCell({ resolution: 0.5, zero: 0.3 })
  hold(cell, dry({ CO: 100 }), 1)
  expect(cell.reading).toBe(100.5)
})

test('noise has the declared standard deviation', () => {
  const cell = aCell({ noise: 0.5 })
  const readings = Array.from({ length: 40_000 }, () => {
    cell.step(dry({ CO: 100 }), 1, 1, 20, false)
    return cell.reading - 100
  })
  const deviation = Math.sqrt(readings.reduce((sum, value) => sum + value * value, 0) / readings.length)
  expect(Math.abs(deviation - 0.5)).toBeLessThan(0.0071) // four standard errors: 4 · 0.5 / sqrt(2 · 40 000)
})

test('a cell that zeroes itself shows nothing of its zero afterwards, and one that does not keeps it', () => {
  const zeroed = aCell({ zero: 5, selfZeroing: true })
  const kept = aCell({ zero: 5 })
  for (const cell of [zeroed, kept]) {
    hold(cell, dry({ CO: 0 }), 60, true)
    hold(cell, dry({ CO: 0 }), 1)
  }
  expect(zeroed.reading).toBeCloseTo(0, 6)
  expect(kept.reading).toBeCloseTo(5, 6)
})

test('an oxygen cell that sets itself in air reads 20.95 % in air', () => {
  const cell = aCell({ species: 'O2', range: [0, 25], span: 0.97, selfZeroing: true })
  hold(cell, dry({ O2: 20.95 }), 60, true)
  hold(cell, dry({ O2: 20.95 }), 1)
  expect(cell.reading).toBeCloseTo(20.95, 6)
})
