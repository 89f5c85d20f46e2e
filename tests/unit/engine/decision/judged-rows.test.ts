import { describe, expect, test } from 'vitest'
import type { AverageRow } from '../../../../protocols/words/blocks.ts'
import { verdictsOf } from '../../../../server/engine/decision/judge.ts'
import { aNightStation, during, firstBlock, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

type Differs = Parameters<typeof aNightStation>[0]
const block = (values: (place: number) => number, more: Differs = {}, mode = 'S'): AverageRow =>
  firstBlock(
    aNightStation(more),
    during(
      ten,
      ten + 30 * minute,
      lines(ten, 30, minute, (place) => ({ mode, co: values(place) })),
    ),
  )
const limit = { id: 'co-limit', channel: 'co', of: 'block', average: 'PT30M', value: 10, unit: 'ppm' } as const
const detecting = { channels: [gas('co', { detectionLimit: 2 })] }

// Flags: EPA GD-51 (2009).
describe('how a mean stands to the detection limit', () => {
  test.each([
    { what: 'all readings above', values: () => 3, flag: 'ADL' },
    { what: 'a reading at the limit is detected', values: () => 2, flag: 'ADL' },
    { what: 'some below', values: (place: number) => (place === 7 ? 1 : 3), flag: 'DLL' },
    { what: 'all below', values: () => 1.5, flag: 'BDL' },
    { what: 'negative ones too', values: () => -1, flag: 'BDL' },
  ])('$what: $flag', ({ values, flag }) => {
    expect(block(values, detecting).detection).toBe(flag)
  })
  test('without a detection limit, or without a mean, nothing is said', () => {
    expect(block(() => 3).detection).toBeNull()
    expect(block(() => 3, detecting, 'P').detection).toBeNull()
  })
  test('a reading that does not count says nothing of it', () => {
    const put = outputsOf(
      aNightStation(detecting),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, (place) => ({ mode: place < 5 ? 'P' : 'S', co: place < 5 ? 0 : 3 })),
      ),
    )
    expect(put.blocks('PT30M')[0]?.detection).toBe('ADL')
  })
  test('what is converted has the flag of its readings', () => {
    const put = outputsOf(
      aNightStation({
        channels: [gas('co', { detectionLimit: 2 }), gas('o2')],
        conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
      }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 1.5, o2: 15 })),
      ),
    )
    expect(put.blocks('PT30M', 'co', 'at_reference_oxygen')[0]?.detection).toBe('BDL')
  })
})

describe('small results in a verdict', () => {
  const judged = (value: number, results: NonNullable<Differs>['results']) => {
    const row = block(() => value, { ...detecting, limits: [limit], results: { uncertainty: 'ignore', ...results } })
    return { mean: row.mean, result: row.verdicts[0]?.result }
  }
  test.each([
    { belowDetection: 'as-read', result: 1.5 },
    { belowDetection: 'detection-limit', result: 2 },
    { belowDetection: 'half', result: 1 },
    { belowDetection: 'zero', result: 0 },
  ] as const)('below detection, $belowDetection: the mean stays, $result is compared', ({ belowDetection, result }) => {
    expect(judged(1.5, { belowDetection })).toEqual({ mean: 1.5, result })
  })
  test('a negative mean is kept; whether 0 is compared in its place is a setting', () => {
    expect(judged(-1, { negative: 'as-is' })).toEqual({ mean: -1, result: -1 })
    expect(judged(-1, { negative: 'zero' })).toEqual({ mean: -1, result: 0 })
  })
  test('the detection limit is converted as the value is', () => {
    const put = outputsOf(
      aNightStation({
        channels: [gas('co', { detectionLimit: 2 }), gas('o2')],
        conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
        limits: [{ ...limit, referenceOxygen: 3 }],
        results: { uncertainty: 'ignore', belowDetection: 'detection-limit' },
      }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 1.5, o2: 15 })),
      ),
    )
    // 2 · (20.9 − 3) / (20.9 − 15) = 6.0678, by hand.
    expect(put.blocks('PT30M', 'co', 'at_reference_oxygen')[0]?.verdicts[0]?.result).toBeCloseTo((2 * 17.9) / 5.9, 9)
  })
})

describe('which averages get a verdict', () => {
  test('valid ones', () => {
    expect(block(() => 12, { limits: [limit], results: { uncertainty: 'ignore' } }).verdicts).toEqual([
      { limit: 'co-limit', verdict: 'above', complies: false, result: 12 },
    ])
  })
  test('not an invalid one', () => {
    const put = outputsOf(
      aNightStation({ limits: [limit], results: { uncertainty: 'ignore' } }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, (place) => ({ mode: place < 15 ? 'P' : 'S', co: 12 })),
      ),
    )
    expect(put.blocks('PT30M')[0]).toMatchObject({ valid: false, mean: 12, verdicts: [] })
  })
  test('none where nobody said what becomes of the uncertainty', () => {
    expect(block(() => 12, { limits: [limit] }).verdicts).toEqual([])
  })
  test('with an uncertainty that is not known, only what no uncertainty could turn', () => {
    const complies = (mean: number) =>
      verdictsOf(
        aNightStation({ results: { uncertainty: 'subtract' } }),
        [{ id: 'co-limit', kind: 'high', value: 10, digits: { decimals: 0 } }],
        { mean, valid: true, state: 'final', uncertainty: null },
        null,
      )[0]?.complies
    expect([complies(8), complies(12)]).toEqual([true, null])
  })
  test('a mean that lies over its limit by less than its uncertainty is undecided', () => {
    const row = block(() => 12, { limits: [limit], results: { uncertainty: 'subtract' } })
    expect(row.uncertainty).toBeGreaterThan(2)
    expect(row.verdicts).toMatchObject([{ verdict: 'undecided', complies: true }])
  })
  test('rolling averages against their own limits', () => {
    const put = outputsOf(
      aNightStation({
        averaging: { blocks: ['PT30M'], rolling: ['PT30M'] },
        limits: [{ ...limit, of: 'rolling' }],
        results: { uncertainty: 'ignore' },
      }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 12 })),
      ),
    )
    expect(put.blocks('PT30M')[0]?.verdicts).toEqual([])
    expect(put.rolling('PT30M')[0]?.verdicts.map(({ limit: id }) => id)).toEqual(['co-limit'])
  })
})

// One gas, two limits: 12 ppm is 12 000 ppb. Compared by hand.
describe('a limit in ppm beside one in ppb of the same gas', () => {
  const beside = [limit, { ...limit, id: 'in-ppb', value: 20_000, unit: 'ppb' }] as const
  test.each(['blocks', 'readings'] as const)('each is compared in its own unit, converted %s', (applyTo) => {
    const put = outputsOf(
      aNightStation({
        ...detecting,
        conversions: { applyTo },
        limits: [...beside, { id: 'of-reading', channel: 'co', of: 'reading', value: 20, unit: 'ppm' }],
        results: { uncertainty: 'ignore' },
      }),
      during(
        ten,
        ten + 30 * minute,
        lines(ten, 30, minute, () => ({ mode: 'S', co: 12 })),
      ),
    )
    const rows = [...put.blocks('PT30M'), ...put.blocks('PT30M', 'co', 'drift_corrected')]
    expect(rows.flatMap(({ verdicts }) => verdicts)).toEqual([
      { limit: 'co-limit', verdict: 'above', complies: false, result: 12 },
      { limit: 'in-ppb', verdict: 'below', complies: true, result: 12_000 },
    ])
    expect(
      put.of('alarm').flatMap(({ transition: { class: ofClass, alarm } }) => (ofClass === 'limit' ? [alarm] : [])),
    ).toEqual(['limit:co-limit'])
    expect(rows.map(({ detection }) => detection)).toEqual(rows.map(() => 'ADL'))
  })
})
