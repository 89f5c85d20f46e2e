import { expect, test } from 'vitest'
import { cleanAir, type Gas } from '../../../simulator/plant/flue-gas.ts'
import {
  makeTrain,
  saturationShare,
  type TrainSettings,
  type TrainTrouble,
  trainSettings,
} from '../../../simulator/sampling/train.ts'

const calm: TrainTrouble = { trapFull: null, pumpStrength: 1, clogged: 0, leakShare: 0 }
const aTrain = (of: Partial<TrainSettings> = {}) =>
  makeTrain(
    trainSettings.parse({
      lineLitres: 0.2,
      pump: { litresPerMinute: 1.2, noise: 0 },
      cooler: { outletDegC: 4, noise: 0 },
      trap: { capacityMl: 100 },
      ...of,
    }),
    1,
  )
const flue: Gas = { O2: 4, CO2: 9.5, CO: 100, NO: 50, NO2: 3, SO2: 0, water: 17 }

test('water over a cooler at 20 °C has 23.326 hPa and at 4 °C 8.1 hPa', () => {
  // Source: Magnus form with WMO coefficients (worked value 23.326 hPa at 20 °C); steam tables: 0.8135 kPa at 4 °C (from memory), 0.3 % apart.
  expect(saturationShare(20) * 1013.25).toBeCloseTo(23.326, 2)
  expect(Math.abs((saturationShare(4) * 101.325) / 0.8135 - 1)).toBeLessThan(0.003)
})

test('gas reaches the cells after the line’s volume has passed: 0.2 L at 1.2 L/min are 10 s', () => {
  const train = aTrain()
  train.step({ ...cleanAir }, false, 1, calm)
  const seconds = Array.from({ length: 30 }, (_, index) => index).find(() => {
    train.step(flue, false, 1, calm)
    return train.atCells.CO === 100
  })
  expect((seconds ?? Number.NaN) + 1).toBe(10)
})

test('at half the flow the gas takes twice as long', () => {
  const train = aTrain()
  const weak = { ...calm, pumpStrength: 0.5 }
  train.step({ ...cleanAir }, false, 1, weak)
  const seconds = Array.from({ length: 60 }, (_, index) => index).find(() => {
    train.step(flue, false, 1, weak)
    return train.atCells.CO === 100
  })
  expect((seconds ?? Number.NaN) + 1).toBe(20)
})

test('an in-leak of 10 % of room air brings 100 ppm to 90 and O2 from 4 to 5.7 %', () => {
  // By hand: 0.9 · 100 = 90; 0.9 · 4 + 0.1 · 20.95 = 5.695.
  const train = aTrain()
  for (let second = 0; second < 20; second++) train.step(flue, false, 1, { ...calm, leakShare: 0.1 })
  expect(train.atCells.CO).toBeCloseTo(90, 9)
  expect(train.atCells.O2).toBeCloseTo(5.695, 9)
})

test('a litre of wet gas leaves its water in the trap: 8.6 mL an hour at 1.2 L/min and 17 %', () => {
  // By hand: 72 L/h dry side / 24.055 = 2.993 mol/h; times (17 − 0.803) / (100 − 0.803) · 18.015 / 0.998 = 8.82 mL/h.
  const train = aTrain()
  for (let second = 0; second < 3600; second++) train.step(flue, false, 1, calm)
  expect(train.trapPercent).toBeCloseTo(8.82, 1)
  expect(train.atCells.water).toBeCloseTo(0.803, 2)
})

test('a small drain pump empties the trap from 60 to 10 %', () => {
  const train = aTrain({ trap: { capacityMl: 10, startMl: 5.5, drain: 'by-level' } })
  const levels = Array.from({ length: 7200 }, () => {
    train.step(flue, false, 1, calm)
    return train.trapPercent
  })
  expect(Math.max(...levels)).toBeGreaterThan(59)
  expect(Math.max(...levels)).toBeLessThan(61)
  expect(Math.min(...levels)).toBeLessThan(11)
  expect(train.isTrapFull).toBe(false)
})

test('while fresh air is drawn in the cells have air and the gas in the line stands still', () => {
  const train = aTrain()
  for (let second = 0; second < 20; second++) train.step(flue, false, 1, calm)
  train.step({ ...flue, CO: 900 }, true, 1, calm)
  const inPurge = train.atCells.CO
  train.step({ ...flue, CO: 900 }, false, 1, calm)
  expect(inPurge).toBe(0)
  expect(train.atCells.CO).toBe(100)
})
