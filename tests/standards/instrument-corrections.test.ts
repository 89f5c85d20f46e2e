import { describe, expect, test } from 'vitest'
import type { Check } from '../../server/engine/amendments.ts'
import { checkStretches } from '../../server/engine/corrections/check-stretches.ts'
import { CrossSensitivity, crossMatrix } from '../../server/engine/corrections/cross-sensitivity.ts'
import { DriftLimit } from '../../server/engine/corrections/drift-limit.ts'
import { biasCorrected, runBias } from '../../server/engine/corrections/run-bias.ts'
import { SpanFactors } from '../../server/engine/corrections/span-factors.ts'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../support/engine-night.ts'
import { input, list, shareOfTolerance, workedValue } from '../support/worked-values.ts'

const hour = 60 * minute
const check = (
  kind: Check['kind'],
  performedMs: number,
  expected: number,
  response: number,
  more: Partial<Check> = {},
): Check => ({
  id: `${kind}-${performedMs}`,
  kind,
  channel: 'co',
  performedMs,
  expected,
  response,
  direct: null,
  gas: 'invented cylinder',
  ...more,
})

describe('US EPA Method 7E (40 CFR 60 App. A-4), section 12', () => {
  test('M7E-4: a mean with a zero low gas, eq. 7E-5b, from the checks before and after the run', () => {
    const row = workedValue('M7E-4')
    const gasOf = input(row, 'CMA')
    const found = runBias(
      [
        check('zero', ten, 0, input(row, 'zero_pre')),
        check('span', ten, gasOf, input(row, 'span_pre')),
        check('zero', ten + 2 * hour, 0, input(row, 'zero_post')),
        check('span', ten + 2 * hour, gasOf, input(row, 'span_post')),
      ],
      'co',
      ten + minute,
      ten + hour,
    )
    expect(found).not.toBeNull()
    if (found) expect(shareOfTolerance(row, biasCorrected(input(row, 'Cavg'), found))).toBeLessThanOrEqual(1)
  })
  test('M7E-5: a mean with a low gas above zero, eq. 7E-5a', () => {
    const row = workedValue('M7E-5')
    const found = biasCorrected(input(row, 'Cavg'), {
      low: input(row, 'CO'),
      lowGas: input(row, 'COA'),
      upscale: input(row, 'CM'),
      upscaleGas: input(row, 'CMA'),
    })
    expect(shareOfTolerance(row, found)).toBeLessThanOrEqual(1)
  })
  test('with a low gas of zero both equations are the same', () => {
    // By hand: (62 − 0.7) · 90 / (87.8 − 0.7) = 63.3410…
    expect(biasCorrected(62, { low: 0.7, lowGas: 0, upscale: 87.8, upscaleGas: 90 })).toBeCloseTo(
      (61.3 * 90) / 87.1,
      12,
    )
  })

  // M7E-2, M7E-3: bias and drift in % of the calibration span, limits 5 % and 3 % (all from memory).
  const limit = (checks: readonly Check[] = []) =>
    new DriftLimit(
      aNightStation({
        corrections: {
          drift: { limitPercent: 3, biasPercent: 5, beyond: 'remark', bases: { co: 100 }, orWithin: 0.5 },
        },
      }),
      checks,
    )
  test('M7E-2: a system bias of −1.7 % of the calibration span passes, one of 5.1 % does not', () => {
    const row = workedValue('M7E-2')
    const bias = input(row, 'Cs') - input(row, 'Cdir')
    expect([limit().isBiased(0, bias), limit().isBiased(0, 5), limit().isBiased(0, 5.1)]).toEqual([false, false, true])
    expect(limit().text(0, bias, 'ppm')).toBe('1.7 % of 100 ppm')
  })
  test('M7E-3: biases of −1.7 % and 1.6 % both pass, and their drift of 3.3 % does not', () => {
    const row = workedValue('M7E-3')
    const [before, after] = [input(row, 'SBi'), input(row, 'SBf')]
    expect([limit().isBiased(0, before), limit().isBiased(0, after), limit().isBeyond(0, after - before)]).toEqual([
      false,
      false,
      true,
    ])
  })
  test('a drift of no more than 0.5 ppm passes whatever its percentage', () => {
    const small = new DriftLimit(
      aNightStation({ corrections: { drift: { limitPercent: 3, bases: { co: 10 }, orWithin: 0.5 } } }),
      [],
    )
    expect([small.isBeyond(0, 0.5), small.isBeyond(0, 0.51)]).toEqual([false, true])
  })
  test('V17: bias, drift and corrected run mean of one run', () => {
    // Source: the data-handling vectors; span 100, direct 0.2 and 89.8, system 0.5 → 1.5 and 89 → 88, gas 90, run mean 85.
    const checks = [
      check('zero', ten, 0, 0.5, { direct: 0.2 }),
      check('span', ten, 90, 89, { direct: 89.8 }),
      check('zero', ten + hour, 0, 1.5, { direct: 0.2 }),
      check('span', ten + hour, 90, 88, { direct: 89.8 }),
    ]
    const found = runBias(checks, 'co', ten, ten + hour)
    expect(found && biasCorrected(85, found)).toBeCloseTo(86.4, 6)
    const station = aNightStation({
      corrections: { bias: 'run-means', drift: { limitPercent: 3, biasPercent: 5, bases: { co: 100 } } },
    })
    expect(checkStretches(station, checks, new DriftLimit(station, checks))).toEqual([])
    expect(
      checks.map(({ response, direct }) => response - (direct ?? 0)).map((bias) => limit().text(0, bias, 'ppm')),
    ).toEqual(['0.3 % of 100 ppm', '0.8 % of 100 ppm', '1.3 % of 100 ppm', '1.8 % of 100 ppm'])
  })
})

describe('electrochemical cells', () => {
  test('EC-1: four cells that answer to each other’s gases', () => {
    const row = workedValue('EC-1')
    const matrix = (row.inputs.S?.value ?? []) as unknown as number[][]
    const ids = ['co', 'no', 'no2', 'so2']
    const crossSensitivity = Object.fromEntries(
      ids.map((cell, place) => [
        cell,
        {
          by: Object.fromEntries(
            ids.flatMap((id, column) => (id === cell ? [] : [[id, matrix[place]?.[column] ?? 0]])),
          ),
        },
      ]),
    )
    const station = aNightStation({
      channels: [gas('co'), gas('no'), gas('no2'), gas('so2', { species: 'SO2' })],
      corrections: { crossSensitivity },
    })
    const found = crossMatrix(station, 'main')
    if (!found) throw new Error('the station has a matrix')
    const values = Float64Array.from(list(row, 'reading'))
    new CrossSensitivity(station, found).apply(values)
    const expected = row.expected.value as unknown as number[]
    values.forEach((value, place) => {
      expect(Math.abs(value - (expected[place] as number))).toBeLessThanOrEqual(row.tolerance.abs ?? 0)
    })
    expect(found.condition).toBeCloseTo(2.22, 2)
  })

  /** A purge of CO 2 around minute 0, gas of 87 in between, a purge of CO 5 around minute 90. */
  test('EC-2: a zero between two purges lies on the line between theirs', () => {
    const row = workedValue('EC-2')
    const at = (minutes: number): number => ten + minutes * minute
    const night = lines(at(-2), 97, minute, (number) => {
      const now = number - 2
      if (now <= 2) return { mode: 'P', co: input(row, 'z0') }
      return now >= 88 && now <= 92 ? { mode: 'P', co: input(row, 'z1') } : { mode: 'S', co: input(row, 'x') }
    })
    const station = aNightStation({ corrections: { zero: 'interpolated' }, averaging: { blocks: ['PT1M'] } })
    const put = outputsOf(station, during(at(-2), at(95), night))
    expect(put.of('zero').map(({ middleMs, mean }) => [(middleMs - ten) / minute, mean])).toEqual([
      [input(row, 't0'), 2],
      [input(row, 't1'), 5],
    ])
    const own = put.blocks('PT1M', 'co', 'drift_corrected').filter(({ startMs }) => startMs === at(input(row, 't')))
    expect(own.map(({ state, mean }) => [state, mean])).toEqual([
      ['provisional', 85],
      ['final', expect.closeTo(83.5, 9)],
    ])
  })

  test('EC-3: zero and span both on the line between their checks', () => {
    const row = workedValue('EC-3')
    const [z0, z1, s0, s1, gasOf] = ['z0', 'z1', 's0', 's1', 'Cref'].map((name) => input(row, name)) as [
      number,
      number,
      number,
      number,
      number,
    ]
    const station = aNightStation({ corrections: { spanFrom: 'checks' } })
    const spans = new SpanFactors(station, [
      check('zero', ten, 0, z0),
      check('span', ten, gasOf, s0),
      check('zero', ten + hour, 0, z1),
      check('span', ten + hour, gasOf, s1),
    ])
    const share = input(row, 'frac')
    const zero = z0 + (z1 - z0) * share
    const factor = spans.factorAt(0, ten + share * hour) ?? Number.NaN
    expect(shareOfTolerance(row, (input(row, 'x') - zero) * factor)).toBeLessThanOrEqual(1)
  })

  test('EC-3: the same of a run without purges, between the checks before and after it', () => {
    const row = workedValue('EC-3')
    const at = (minutes: number): number => ten + minutes * minute
    const station = aNightStation({
      corrections: { zero: 'interpolated', spanFrom: 'checks' },
      averaging: { blocks: ['PT1M'] },
    })
    // Checks at minutes 0 and 60, a run from 5 to 55: at minute 15 a quarter of the time has passed.
    const checks = [
      check('zero', at(0), 0, input(row, 'z0')),
      check('span', at(0), input(row, 'Cref'), input(row, 's0')),
      check('zero', at(60), 0, input(row, 'z1')),
      check('span', at(60), input(row, 'Cref'), input(row, 's1')),
    ]
    const put = outputsOf(
      station,
      during(
        at(5),
        at(55),
        lines(at(5), 50, minute, () => ({ mode: 'S', co: input(row, 'x') })),
      ),
      { amendments: { exclusions: [], checks: checks.map((one) => ({ ...one, by: 'A. Tester', toldMs: at(70) })) } },
    )
    const own = put.blocks('PT1M', 'co', 'drift_corrected').filter(({ startMs }) => startMs === at(15))
    expect(own.map(({ state, reasons }) => [state, reasons])).toEqual([
      ['provisional', []],
      ['final', []],
    ])
    expect(shareOfTolerance(row, own[1]?.mean ?? Number.NaN)).toBeLessThanOrEqual(1)
  })

  test('EC-7: what moved from 300.6 to 293.1 of 300 drifted by 2.5 % of the span', () => {
    const row = workedValue('EC-7')
    const limit = new DriftLimit(
      aNightStation({ corrections: { drift: { limitPercent: 2.5, bases: { co: input(row, 'span') } } } }),
      [],
    )
    const moved = input(row, 'post') - input(row, 'pre')
    expect(limit.text(0, moved, 'ppm')).toBe('2.5 % of 300 ppm')
    expect([limit.isBeyond(0, moved), limit.isBeyond(0, moved * 1.001)]).toEqual([false, true])
  })
})
