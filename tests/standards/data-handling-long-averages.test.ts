import { describe, expect, test } from 'vitest'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import { type RunResult, testOfRuns } from '../../server/engine/averaging/test-of-runs.ts'
import type { StationFileInput } from '../../server/engine/settings/station-file.ts'
import { drive } from '../../server/station/drive-engine.ts'
import { vectorOf } from '../support/data-handling-vectors.ts'
import { aNightStation, during, gas, lines, minute, outputsOf } from '../support/engine-night.ts'

// Source: the project's hand-checkable data-handling vectors; their rules come from Directive 2010/75/EU Annexes V and VI,
// 44. BImSchV § 30(1), EMV-L § 17, 40 CFR 60.8(f), 60.4380(b)(1) and 63.8450(a)(3) as they say beside each.
// Tolerance as the vectors state: 1e-6 on numbers; counts and verdicts exact.

type OfBlocks = NonNullable<NonNullable<StationFileInput['averaging']>['ofBlocks']>
const midnight = Date.UTC(2026, 0, 15)
const hour = 60 * minute

/** A value for each block, a line at its start; null: no line. A word beside the value where the plant tells its state. */
function driven(
  blockMs: number,
  values: readonly (number | null)[],
  averaging: StationFileInput['averaging'],
  state: (place: number) => string = () => 'S',
  more: Partial<StationFileInput> = {},
) {
  const station = aNightStation({
    channels: [gas('nox')],
    stream: { expectEverySeconds: blockMs / 1000 },
    averaging,
    ...more,
  })
  const readings = lines(midnight, values.length, blockMs, (place) => {
    const value = values[place] ?? null
    const word = state(place)
    return value === null && word === 'S' ? null : { mode: word, nox: value }
  })
  return outputsOf(station, during(midnight, midnight + values.length * blockMs, readings))
}

const near = (row: AverageRow | undefined, expected: number) =>
  expect(Math.abs((row?.mean ?? Number.NaN) - expected)).toBeLessThan(1e-6)
const orNull = (rows: readonly AverageRow[]) => rows.map(({ mean, valid }) => (valid ? (mean ?? Number.NaN) : null))

describe.each(['V07a', 'V07b', 'V07c'])('%s: whether a day of half-hours is valid differs by rule (AV-11)', (id) => {
  const { inputs, expected } = vectorOf(id)
  const day = (ofBlocks: OfBlocks) =>
    driven(30 * minute, inputs.half_hours, { blocks: ['PT30M'], ofBlocks }).blocks('P1D', 'nox')
  test.each([
    // Directive 2010/75/EU, Annex VI, Part 8, 1.2: no more than five half-hours discarded.
    { key: 'ied_annex_vi_max5', valid: { atMostInvalid: 5 } },
    // 44. BImSchV § 30(1): more than six make the day invalid.
    { key: 'de_44bimschv_max6', valid: { atMostInvalid: 6 } },
    // EMV-L § 17: more than six, or fewer than twelve valid.
    { key: 'at_emv_l_max6_and_min12', valid: { atMostInvalid: 6, atLeastValid: 12 } },
  ])('$key', ({ key, valid }) => {
    const rows = day([{ average: 'P1D', of: 'PT30M', valid }])
    expect(rows).toHaveLength(1)
    expect(rows[0]?.valid).toBe(expected[key])
    near(rows[0], expected.mean)
    expect(rows[0]?.coverage).toBeCloseTo(expected.n_valid / (expected.n_valid + expected.n_invalid), 12)
  })
  test('ied_annex_v_max3_hours, an hour being spoilt by one bad half (Directive 2010/75/EU, Annex V, Part 3, 10; from memory)', () => {
    const [row] = day([
      { average: 'PT1H', of: 'PT30M', valid: { share: '2/2' } },
      { average: 'P1D', of: 'PT1H', valid: { atMostInvalid: 3 } },
    ])
    expect(row?.valid).toBe(expected.ied_annex_v_max3_hours_if_any_bad_half_spoils_the_hour)
  })
})

test('V08: a rolling mean over four hours of operation skips idle hours and needs three valid of four (AV-7)', () => {
  const { inputs, expected } = vectorOf('V08')
  const hours: { state: string; value: number | null }[] = inputs.hours
  const words = hours.map(({ state, value }) => (state === 'off' ? 'S+off' : value === null ? 'S' : 'S+running'))
  const put = driven(
    hour,
    hours.map(({ value }) => value),
    {
      blocks: ['PT1H'],
      ofBlocks: [{ average: 'PT4H', of: 'PT1H', window: 'rolling', hours: 'operating', valid: { share: '3/4' } }],
    },
    (place) => words[place] ?? 'S',
    { plantState: { from: 'status' } },
  )
  const rows = put.rolling('PT4H', 'nox')
  const byHour = hours.map((_, place) => {
    const row = rows.find(({ endMs }) => endMs === midnight + (place + 1) * hour)
    return row?.valid ? row.mean : null
  })
  expected.rolling_4_operating_hours.forEach((value: number | null, place: number) => {
    if (value === null) expect(byHour[place]).toBeNull()
    else expect(byHour[place]).toBeCloseTo(value, 6)
  })
})

describe('V09: a block of three hours against three rolling hours (AV-8)', () => {
  const { inputs, expected } = vectorOf('V09')
  const put = (window: 'fixed' | 'rolling', share: string) => {
    const outputs = driven(hour, inputs.hourly, {
      blocks: ['PT1H'],
      ofBlocks: [{ average: 'PT3H', of: 'PT1H', window, valid: { share } }],
    })
    return window === 'fixed' ? outputs.blocks('PT3H', 'nox') : outputs.rolling('PT3H', 'nox')
  }
  test.each([
    { share: '3/3', key: 'valid_strict_3_of_3' },
    { share: '3/4', key: 'valid_75pct_of_hours' },
  ])('the block is published once; valid by $share', ({ share, key }) => {
    const rows = put('fixed', share)
    expect(rows.map(({ mean, valid }) => ({ mean, valid }))).toEqual(
      expected.block_3h.map((block: Record<string, unknown>) => ({ mean: block.mean_of_available, valid: block[key] })),
    )
    expect(Math.max(...orNull(rows).map(Number))).toBe(expected.max_valid_block)
  })
  test('the rolling mean is published each hour', () => {
    const rows = put('rolling', '3/3')
    expect(rows.map(({ endMs }) => (endMs - midnight) / hour)).toEqual([3, 4, 5, 6, 7, 8, 9])
    orNull(rows).forEach((value, place) => {
      const wanted: number | null = expected.rolling_3h_strict[place + 2]
      if (wanted === null) expect(value).toBeNull()
      else expect(value).toBeCloseTo(wanted, 6)
    })
    expect(Math.max(...orNull(rows).map(Number))).toBeCloseTo(expected.max_rolling, 6)
  })
})

/** A run of so many minutes at one value, and the averages over it. */
function aRun(minutes: number, value: number, more: Parameters<typeof aNightStation>[0] = {}): readonly RunResult[] {
  const station = aNightStation({
    channels: [gas('nox')],
    averaging: { blocks: ['PT1H'], run: { rule: 'minutes', minimum: 60 } },
    ...more,
  })
  const readings = lines(midnight, minutes, minute, () => ({ mode: 'S', nox: value }))
  const engine = drive(station, during(midnight, midnight + minutes * minute, readings), () => {})
  return [...engine.context.runResults]
}

test('V10: a test is the mean of its run means, and a short run is flagged, not weighted (AV-9, 40 CFR 60.8(f))', () => {
  const { inputs, expected } = vectorOf('V10')
  const runs = inputs.run_minutes.map((minutes: number, place: number) => aRun(minutes, inputs.run_values[place]))
  const [result] = testOfRuns(runs, aNightStation())
  expect(result?.runs.map(({ mean }) => mean)).toEqual(expected.run_means)
  expect(result?.runs.map(({ valid }) => valid)).toEqual(expected.run_long_enough)
  expect(result?.mean).toBeCloseTo(expected.mean_of_run_means, 6)
  expect(result?.mean).not.toBeCloseTo(expected.pooled_mean_wrong, 6)
  expect(result?.valid).toBe(false)
})

describe('V21: runs below the detection limit (RD-6, EPA GD-51 (2009))', () => {
  const { inputs, expected } = vectorOf('V21')
  test.each(['case_a', 'case_b', 'case_c'])('%s', (name) => {
    const channels = [gas('nox', { detectionLimit: inputs.detection_level })]
    // What is not detected still reads something: half the limit stands for it here.
    const runs = inputs[name].map((value: number | 'ND') =>
      aRun(60, value === 'ND' ? inputs.detection_level / 2 : value, { channels }),
    )
    const [result] = testOfRuns(runs, aNightStation({ results: { belowDetection: 'detection-limit' } }))
    expect(result?.mean).toBeCloseTo(expected[name].mean, 6)
    expect(result?.detection).toBe(expected[name].flag)
  })
})
