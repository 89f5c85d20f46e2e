import { expect, test } from 'vitest'
import { biasCorrected, biasDrift, systemBias } from '../../server/engine/quality/analyser-checks.ts'
import { cusum } from '../../server/engine/quality/cusum.ts'
import { meanOf } from '../../server/engine/valid-value.ts'
import { vectorOf } from '../support/data-handling-vectors.ts'

// Source: the project's hand-checkable data-handling vectors, with the texts that each names.

// US EPA Method 7E, eq. 7E-2, 7E-4, 7E-5b; the limits of 5 % and 3 % of span are from memory.
test('V17: bias, drift and the corrected mean of a run (QA-3, QA-4, QA-5)', () => {
  const { inputs, expected } = vectorOf('V17')
  const biases = (answers: number[], direct: number) =>
    answers.map((answer) => systemBias(answer, direct, inputs.calibration_span))
  const [zero, upscale] = [
    biases(inputs.system_zero, inputs.direct_zero),
    biases(inputs.system_upscale, inputs.direct_upscale),
  ]
  const drift = ([before, after]: ReturnType<typeof biases>) => biasDrift(before!, after!)
  const near = (values: number[]) => values.map((value) => expect.closeTo(value, 9))
  expect(zero).toEqual(near(expected.bias_zero_pct))
  expect(upscale).toEqual(near(expected.bias_upscale_pct))
  expect([drift(zero), drift(upscale)]).toEqual(near([expected.drift_zero_pct, expected.drift_upscale_pct]))
  expect([...zero, ...upscale].every((bias) => Math.abs(bias) <= 5)).toBe(expected.pass_bias)
  expect([drift(zero), drift(upscale)].every((found) => found <= 3)).toBe(expected.pass_drift)
  expect(
    biasCorrected(inputs.run_mean, meanOf(inputs.system_zero), meanOf(inputs.system_upscale), inputs.upscale_gas),
  ).toBeCloseTo(expected.corrected_run_mean, 9)
})

// EN 14181, QAL3 (from memory).
test('V18: a chart of sums finds a slow drift that stays within twice the deviation (QA-13)', () => {
  const { inputs, expected } = vectorOf('V18')
  const rows = cusum(inputs.d, {
    deviation: inputs.s_ams,
    kx: inputs.kx,
    hx: inputs.hx,
    ks: inputs.ks,
    hs: inputs.hs,
    adjust: inputs.adjust_factor,
  })
  const near = (value: number | null) => (value === null ? null : expect.closeTo(value, 9))
  expect(rows).toEqual(
    expected.rows.map((row: Record<string, number> & { drift_alarm: boolean; precision_alarm: boolean }) => ({
      sumPositive: near(row.sum_pos!),
      countPositive: row.n_pos,
      sumNegative: near(row.sum_neg!),
      countNegative: row.n_neg,
      precision: near(row.prec!),
      driftAlarm: row.drift_alarm,
      precisionAlarm: row.precision_alarm,
      adjustBy: near(row.adjust_by as number | null),
    })),
  )
  expect(inputs.d.some((difference: number) => Math.abs(difference) > 2 * inputs.s_ams)).toBe(
    expected.shewhart_2s_alarm,
  )
})
