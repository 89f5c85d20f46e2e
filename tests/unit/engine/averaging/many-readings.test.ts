import { expect, test } from 'vitest'
import { Accumulator } from '../../../../server/engine/averaging/accumulator.ts'

const minutes = 100_000
const perMinute = 1000
const stepMs = 60

/** Tenths of a ppm, so that sums of them are whole numbers that can be added up without error. */
const tenthsAt = (number: number): number => 1_000_000 + ((number * 7919) % 10_007)

test('after a hundred million readings mean and standard deviation are off by less than a billionth of themselves', () => {
  const minute = new Accumulator(Int32Array.of(0, 1))
  const total = new Accumulator(Int32Array.of(0, 1))
  let sum = 0
  let squares = 0n
  let number = 0
  for (let passed = 0; passed < minutes; passed++) {
    minute.reset()
    let ofMinute = 0
    for (let reading = 0; reading < perMinute; reading++, number++) {
      const tenths = tenthsAt(number)
      const value = tenths / 10
      minute.weightMs[0] = (minute.weightMs[0] as number) + stepMs
      minute.integral[0] = (minute.integral[0] as number) + value * stepMs
      minute.addPoint(0, value, number * stepMs)
      sum += tenths
      // Deviations from a round number: small enough for their squares to be whole numbers as well.
      ofMinute += (tenths - 1_000_000) ** 2
    }
    squares += BigInt(ofMinute)
    total.merge(minute, 0)
  }
  const count = minutes * perMinute
  const mean = sum / count / 10
  const aboutRound = BigInt(sum) - 1_000_000n * BigInt(count)
  // Σ(x − m)² = Σ(x − a)² − (Σ(x − a))² / n, all in whole tenths; the quotient is exact to 1e-15 of it.
  const spread = Number(squares * BigInt(count) - aboutRound * aboutRound) / count
  const deviation = Math.sqrt(spread / (count - 1)) / 10
  expect(Math.abs(total.mean(0, 0) / mean - 1)).toBeLessThan(1e-9)
  expect(Math.abs((total.standardDeviation(0) as number) / deviation - 1)).toBeLessThan(1e-9)
  expect(total.count[0]).toBe(count)
})
