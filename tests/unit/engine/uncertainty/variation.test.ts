import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { Accumulator } from '../../../../server/engine/averaging/accumulator.ts'
import { RollingWindow } from '../../../../server/engine/averaging/rolling.ts'

const laneStart = Int32Array.from([0, 1])
function minuteOf(values: readonly number[]): Accumulator {
  const minute = new Accumulator(laneStart)
  for (const [at, value] of values.entries()) minute.addPoint(0, value, at)
  return minute
}
function merged(parts: readonly Accumulator[]): Accumulator {
  const total = new Accumulator(laneStart)
  for (const part of parts) total.merge(part, 0)
  return total
}
const figures = (total: Accumulator) => total.variation.of(0, total.count[0] as number, total.squares[0] as number)

describe('minutes of a stretch', () => {
  test('1 3 | 4 6 | 8 10: scatter √2 within, means 2, 5, 9 with deviation 3.5119, change 7', () => {
    // By hand: within 3 · 2 / 3 degrees = 2; means 2, 5, 9 about 5.3333: 24.6667 / 2; steps 9 + 16 = 25: 1 − 25 / (2 · 24.6667) · 3/2 = 0.2399.
    const seen = figures(merged([minuteOf([1, 3]), minuteOf([4, 6]), minuteOf([8, 10])]))
    expect(seen).toMatchObject({ minutes: 3, withinFreedom: 3, change: 7 })
    expect(seen.within).toBeCloseTo(Math.SQRT2, 12)
    expect(seen.between).toBeCloseTo(3.51188, 5)
    expect(seen.autocorrelation).toBeCloseTo(0.23986, 4)
  })

  test('one minute tells its scatter and nothing of minutes', () => {
    const seen = figures(minuteOf([1, 3]))
    expect(seen.within).toBeCloseTo(Math.SQRT2, 12)
    expect(seen).toMatchObject({ minutes: 1, between: Number.NaN, change: Number.NaN, autocorrelation: 1 })
  })

  test('minutes in which nothing counted leave the others as they are', () => {
    const whole = figures(merged([minuteOf([1, 3]), minuteOf([4, 6])]))
    expect(figures(merged([minuteOf([]), minuteOf([1, 3]), minuteOf([]), minuteOf([4, 6])]))).toEqual(whole)
  })
})

const minutes = fc.array(fc.array(fc.double({ min: -50, max: 500, noNaN: true }), { maxLength: 6 }), {
  minLength: 2,
  maxLength: 12,
})

test('the figures do not depend on how a stretch was put together', () => {
  fc.assert(
    fc.property(minutes, fc.nat(12), (lists, cut) => {
      const parts = lists.map(minuteOf)
      const plain = figures(merged(parts))
      const split = figures(merged([merged(parts.slice(0, cut)), merged(parts.slice(cut))]))
      expect(split.minutes).toBe(plain.minutes)
      for (const key of ['within', 'between', 'autocorrelation', 'change'] as const)
        if (Number.isNaN(plain[key])) expect(split[key]).toBeNaN()
        else expect(split[key]).toBeCloseTo(plain[key], 6)
    }),
  )
})

test('a rolling window tells the same as its minutes by themselves', () => {
  const window = new RollingWindow(4, laneStart)
  const lists = [[1, 2], [5, 5], [], [9, 7], [2, 4], [8, 8], [3, 1]]
  for (const list of lists) window.push(minuteOf(list))
  const seen = figures(window.total())
  const plain = figures(merged(lists.slice(-4).map(minuteOf)))
  expect(seen.minutes).toBe(4)
  for (const key of ['within', 'between', 'autocorrelation', 'change'] as const)
    expect(seen[key]).toBeCloseTo(plain[key], 9)
})
