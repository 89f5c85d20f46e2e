import { describe, expect, test } from 'vitest'
import type { Check } from '../../../../server/engine/amendments.ts'
import { partOf, rowContext } from '../../../../server/engine/averaging/average-part.ts'
import { AverageSet } from '../../../../server/engine/averaging/average-set.ts'
import { biasedRunContext } from '../../../../server/engine/averaging/biased-run-context.ts'
import { averageRows } from '../../../../server/engine/averaging/rows.ts'
import { runBias } from '../../../../server/engine/corrections/run-bias.ts'
import { createEngine } from '../../../../server/engine/state.ts'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

const end = ten + 60 * minute
const check = (kind: Check['kind'], channel: string, minutes: number, expected: number, response: number): Check => ({
  id: `${kind} ${channel} ${minutes}`,
  kind,
  channel,
  performedMs: ten + minutes * minute,
  expected,
  response,
  direct: null,
  gas: 'invented cylinder',
})
const around = (channel: string, low: readonly [number, number, number], high: readonly [number, number, number]) =>
  [-10, 70].flatMap((minutes, place) => [
    check('zero', channel, minutes, low[0], low[1 + place] as number),
    check('span', channel, minutes + 1, high[0], high[1 + place] as number),
  ])

describe('the checks of a run', () => {
  const four = around('co', [0, 0.4, 1], [90, 88.6, 87])
  test('are the last of each gas before it and the first after it', () => {
    const more = [check('zero', 'co', -60, 0, 5), check('span', 'co', 200, 90, 50)]
    expect(runBias([...more, ...four], 'co', ten, end)).toMatchObject({ low: 0.7, upscale: 87.8 })
  })
  test('may have been made within it, near its ends', () => {
    const within = [
      check('zero', 'co', 1, 0, 1),
      check('span', 'co', 2, 90, 91),
      check('zero', 'co', 58, 0, 2),
      check('span', 'co', 59, 90, 92),
    ]
    expect(runBias(within, 'co', ten, end)).toMatchObject({ low: 1.5, upscale: 91.5 })
  })
  test('are not complete where one of the four is missing, or the gas was another', () => {
    expect(
      four.map((_, left) =>
        runBias(
          four.filter((_one, place) => place !== left),
          'co',
          ten,
          end,
        ),
      ),
    ).toEqual([null, null, null, null])
    expect(runBias([...four.slice(0, 3), check('span', 'co', 71, 60, 59)], 'co', ten, end)).toBeNull()
  })
})

test('values converted for a run rest on means corrected by its checks, oxygen’s too', () => {
  const station = aNightStation({
    channels: [gas('co'), gas('o2')],
    corrections: { bias: 'run-means' },
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm' },
  })
  const { context } = createEngine(station)
  const part = partOf(context.averagePlan, 'main')
  // The example's set of minutes is one: CO 62 ppm, O2 5.3 % for an hour.
  const set = new AverageSet({
    groups: part.groups,
    context: rowContext(context, part),
    grid: context.clockGrid,
    blocks: ['PT1H'],
    rolling: [],
    finalAfterMs: 0,
    runStartMs: ten,
    runningMs: (from, to) => to - from,
  })
  const total = set.at(ten)
  part.groups.forEach(({ lanes }, group) => {
    total.weightMs[group] = end - ten
    lanes.forEach(({ channel }, lane) => {
      total.integral[(total.laneStart[group] as number) + lane] = (channel === 0 ? 62 : 5.3) * (end - ten)
    })
    total.addPoint(group, lanes[0]?.channel === 0 ? 61 : 5.2, ten)
    total.addPoint(group, lanes[0]?.channel === 0 ? 63 : 5.4, ten + minute)
  })
  // Worked values of eq. 7E-5b and 7E-5a: 63.341 ppm of CO, 5.28205 % of oxygen.
  const checks = [...around('co', [0, 0.4, 1], [90, 88.6, 87]), ...around('o2', [2, 2.1, 2.1], [12, 11.85, 11.85])]
  const rows = averageRows(
    biasedRunContext(rowContext(context, part), checks, ten, end),
    total,
    { startMs: ten, endMs: end },
    end - ten,
    end - ten,
    'final',
    'run',
  )
  const of = (channel: string, quantity: string) =>
    rows.find((row) => row.channel === channel && row.quantity === quantity)
  expect(of('co', 'as_read')?.mean).toBe(62)
  expect(of('co', 'bias_corrected')).toMatchObject({
    mean: expect.closeTo(63.341, 3),
    minimum: expect.closeTo((60.3 * 90) / 87.1, 9),
    maximum: expect.closeTo((62.3 * 90) / 87.1, 9),
    standardDeviation: expect.closeTo((Math.SQRT2 * 90) / 87.1, 9),
  })
  expect(of('o2', 'bias_corrected')?.mean).toBeCloseTo(5.28205, 5)
  const referred = ((61.3 * 90) / 87.1) * ((20.9 - 3) / (20.9 - (((5.3 - 11.85) * 10) / 9.75 + 12)))
  expect(of('co', 'at_reference_oxygen')?.mean).toBeCloseTo(referred, 9)
  expect(rows.filter(({ quantity }) => quantity === 'bias_corrected').map(({ channel }) => channel)).toEqual([
    'co',
    'o2',
  ])
})

test('a run that is computed again with its checks tells its corrected mean beside the one as read', () => {
  const station = aNightStation({
    corrections: { bias: 'run-means' },
    averaging: { blocks: ['PT1H'], run: { rule: 'minutes', minimum: 30 } },
  })
  const night = during(
    ten,
    end,
    lines(ten, 60, minute, () => ({ mode: 'S', co: 62 })),
  )
  const runRows = (checks: readonly Check[]) =>
    outputsOf(station, night, {
      amendments: { exclusions: [], checks: checks.map((one) => ({ ...one, by: 'A. Tester', toldMs: end })) },
    })
      .all.flatMap((output) => (output.kind === 'block' && output.row.average === 'PT3600S' ? [output.row] : []))
      .map(({ quantity, mean }) => [quantity, mean])
  expect(runRows(around('co', [0, 0.4, 1], [90, 88.6, 87]))).toEqual([
    ['as_read', 62],
    ['bias_corrected', expect.closeTo(63.341, 3)],
    // CO: 1.24967 mg/m³ per ppm.
    ['mass_concentration', expect.closeTo(63.341 * 1.24967, 2)],
  ])
  expect(runRows([])).toEqual([
    ['as_read', 62],
    ['mass_concentration', expect.closeTo(62 * 1.24967, 2)],
  ])
})

describe('a run mean corrected by checks', () => {
  const limited = (beyond: 'invalidate' | 'remark') =>
    aNightStation({
      corrections: {
        bias: 'run-means',
        drift: { limitPercent: 3, biasPercent: 5, beyond, bases: { co: 100 } },
      },
      averaging: { blocks: ['PT1H'], run: { rule: 'minutes', minimum: 30 } },
    })
  const told = (station: ReturnType<typeof limited>, upscaleAfter: number) =>
    outputsOf(
      station,
      during(
        ten,
        end,
        lines(ten, 60, minute, () => ({ mode: 'S', co: 62 })),
      ),
      {
        amendments: {
          exclusions: [],
          checks: around('co', [0, 0.4, 1], [90, 88.6, upscaleAfter]).map((one) => ({
            ...one,
            by: 'A. Tester',
            toldMs: end,
          })),
        },
      },
    ).all.flatMap((output) =>
      output.kind === 'block' && output.row.average === 'PT3600S' && output.row.quantity === 'bias_corrected'
        ? [[output.row.state, output.row.valid, output.row.reasons]]
        : [],
    )
  test('stands with a drift beyond 3 %, and says so; provisional while a purge may still judge it', () => {
    // 88.6 to 85.3: 3.3 % of 100 ppm; the bias of 85.3 from 90 is 4.7 %.
    expect(told(limited('remark'), 85.3)).toEqual([
      ['provisional', true, ['drift_noted']],
      ['final', true, ['drift_noted']],
    ])
  })
  test('is void with a bias beyond 5 %', () => {
    expect(told(limited('remark'), 84.9).at(-1)).toEqual([
      'final',
      false,
      expect.arrayContaining(['bias_beyond_limit']),
    ])
  })
})
