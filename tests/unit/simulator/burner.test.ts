import { expect, test } from 'vitest'
import { type BurnerSettings, burnerSettings, makeBurner } from '../../../simulator/plant/burner.ts'

const quiet = { carbonMonoxide: 0, nitricOxide: 0 }
const aBurner = (schedule: BurnerSettings['schedule']) =>
  makeBurner(
    burnerSettings.parse({
      fuel: 'natural-gas',
      schedule,
      startUp: { seconds: 100, carbonMonoxide: 400 },
      carbonMonoxide: { floor: 10, rich: 0, richWidth: 0.05 },
      nitrogenOxides: { peak: 50, peakLambda: 1.2, width: 0.4, loadPower: 0, dioxideShare: 0.1 },
      gasTemperature: { at0: 100, at100: 200 },
    }),
    1,
  )

test('between two points of the schedule load and excess air follow a straight line', () => {
  const burner = aBurner([
    { atMinutes: 0, loadPercent: 40, lambda: 1.3 },
    { atMinutes: 10, loadPercent: 80, lambda: 1.2 },
  ])
  burner.step(150, 1, quiet)
  expect(burner.loadPercent).toBeCloseTo(50, 9)
  expect(burner.lambda).toBeCloseTo(1.275, 9)
})

test('at the best lambda the nitrogen oxides are at their peak, a tenth of them NO2', () => {
  const burner = aBurner([{ atMinutes: 0, loadPercent: 50, lambda: 1.2 }])
  burner.step(0, 1, quiet)
  expect(burner.gas.NO).toBeCloseTo(45, 9)
  expect(burner.gas.NO2).toBeCloseTo(5, 9)
})

test('a burner that is off leaves air in the duct, and lights with CO that dies away', () => {
  const burner = aBurner([
    { atMinutes: 0, loadPercent: 0, lambda: 1.2 },
    { atMinutes: 1, loadPercent: 0, lambda: 1.2 },
    { atMinutes: 1, loadPercent: 50, lambda: 1.2 },
  ])
  burner.step(0, 1, quiet)
  const off = { plant: burner.plant, oxygen: burner.gas.O2 }
  burner.step(60, 1, quiet)
  const lit = { plant: burner.plant, co: burner.gas.CO }
  for (let second = 61; second <= 160; second++) burner.step(second, 1, quiet)
  expect(off).toEqual({ plant: 'off', oxygen: 20.95 })
  expect(lit).toEqual({ plant: 'start-up', co: 410 })
  expect(burner.plant).toBe('running')
  expect(burner.gas.CO).toBeCloseTo(10, 9)
})

test('a script that begins anew begins at its first point', () => {
  const burner = aBurner([
    { atMinutes: 0, loadPercent: 40, lambda: 1.3 },
    { atMinutes: 10, loadPercent: 80, lambda: 1.2 },
  ])
  burner.step(700, 1, quiet)
  const late = burner.loadPercent
  burner.step(0, 1, quiet)
  expect([late, burner.loadPercent]).toEqual([80, 40])
})
