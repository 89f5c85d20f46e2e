import { describe, expect, test } from 'vitest'
import type { TakenZero } from '../../../../server/engine/uncertainty/zero-record.ts'
import { aBudget, contributionOf, perfectPapers } from '../../../support/a-budget.ts'
import {
  aLine,
  aNightStation,
  besideStream,
  during,
  gas,
  lines,
  minute,
  outputsOf,
  ten,
} from '../../../support/engine-night.ts'

const hour = 3_600_000
const steady = (...levels: readonly number[]) =>
  Array.from({ length: 30 }, () => levels.map((level) => Array.from({ length: 60 }, () => level)))
const zero = (atMs: number, mean: number): TakenZero => ({ channel: 0, atMs, mean, standardDeviation: null, count: 60 })
const root3 = Math.sqrt(3)

describe('the zero', () => {
  const station = aNightStation({
    channels: [gas('co', { uncertainty: { ...perfectPapers, zeroDrift: 2.4 } })],
    corrections: { zero: 'last' },
  })
  const drift = (quantity: string, zeros: readonly TakenZero[], zerosInterpolated = false) =>
    aBudget({ station, channel: 'co', quantity, minutes: steady(100), zeros, zerosInterpolated })

  test('before the first one the papers’ limit of a day holds: 2.4 ppm / √3', () => {
    expect(contributionOf(drift('drift_corrected', []), 'zero-drift')).toBeCloseTo(2.4 / root3, 9)
  })

  test('half an hour after the only one, the papers’ limit is scaled by the root of the time: 2.4 · √(1/48) / √3', () => {
    expect(contributionOf(drift('drift_corrected', [zero(0, 1)]), 'zero-drift')).toBeCloseTo(0.2, 9)
  })

  test('changes from zero to zero take over: of 0.6 and 0.9 ppm and the papers’ 0.3464 the mean square, a third of it', () => {
    // (0.36 + 0.81 + 2.4² / 48) / 3 = 0.43; √(0.43 / 3) = 0.37859. Between two zeros a sixth: 0.26771.
    const zeros = [zero(-2 * hour, 1), zero(-hour, 1.6), zero(0, 0.7)]
    expect(contributionOf(drift('drift_corrected', zeros), 'zero-drift')).toBeCloseTo(0.37859, 5)
    expect(contributionOf(drift('drift_corrected', zeros, true), 'zero-drift')).toBeCloseTo(0.26771, 5)
  })

  test('that is left in a value as read stands in its budget whole', () => {
    expect(contributionOf(drift('as_read', [zero(0, -3)]), 'zero-left-in')).toBe(3)
    expect(contributionOf(drift('drift_corrected', [zero(0, -3)]), 'zero-left-in')).toBe(0)
  })
})

// By hand: a cell that is off by 2.4 ppm in a sample diluted ten times is off by 24 ppm of the gas in the duct.
test('what the cell shows wrong by so many ppm weighs as often as the sample is diluted, but not in the value as read', () => {
  const papers = { ...perfectPapers, zeroDrift: 2.4, resolution: 0.6, linearity: 3 }
  const of = (quantity: string, zeros: readonly TakenZero[], dilution: number, seesDiluted = true) => {
    const channels = [gas('co', { uncertainty: papers, diluted: seesDiluted })]
    const station = aNightStation({ channels, stream: { dilution }, corrections: { zero: 'last' } })
    const budget = aBudget({ station, channel: 'co', quantity, minutes: steady(100), zeros })
    return (['zero-drift', 'resolution', 'linearity'] as const).map((source) => contributionOf(budget, source))
  }
  const once = [2.4 / root3, 0.6 / Math.sqrt(12), 3 / root3].map((expected) => expect.closeTo(expected, 9))
  const tenfold = [24 / root3, 6 / Math.sqrt(12), 30 / root3].map((expected) => expect.closeTo(expected, 9))
  expect(of('drift_corrected', [], 10)).toEqual(tenfold)
  expect(of('as_read', [], 10)).toEqual(once)
  expect(of('drift_corrected', [], 10, false)).toEqual(once)
  // Half an hour after the only zero: 2.4 · √(1/48) / √3 = 0.2 ppm, as above.
  expect(of('drift_corrected', [zero(0, 1)], 10)[0]).toBeCloseTo(2, 9)
})

test('a gas that changes is followed late: 12 ppm in half an hour at a t95 of 60 s leave 12 · 60/1800 / √3', () => {
  const rising = Array.from({ length: 30 }, (_, number) => [Array.from({ length: 60 }, () => 100 + (12 / 29) * number)])
  const station = aNightStation({ channels: [gas('co', { t95Seconds: 60, uncertainty: perfectPapers })] })
  const budget = aBudget({ station, channel: 'co', quantity: 'as_read', minutes: rising })
  expect(contributionOf(budget, 'response')).toBeCloseTo(0.4 / root3, 6)
})

test('a block that counted whole has no doubt for time that was not sampled, and more the less of it counted', () => {
  const station = aNightStation({ channels: [gas('co', { uncertainty: perfectPapers })] })
  const minutes = Array.from({ length: 20 }, (_, number) => [[100 + (number % 5), 100, 101]])
  const of = (denominatorMs: number) =>
    contributionOf(aBudget({ station, channel: 'co', quantity: 'as_read', minutes, denominatorMs }), 'unsampled-time')
  expect(of(60_000)).toBe(0)
  expect(of(80_000)).toBeGreaterThan(0)
  expect(of(120_000)).toBeGreaterThan(of(80_000))
})

test('a cell that may read 0.1 ppm per ppm of another gas of 30 ppm is off by 3 ppm / √3 at most likely', () => {
  const station = aNightStation({
    channels: [gas('co', { uncertainty: { ...perfectPapers, crossSensitivity: { no: 0.1 } } }), gas('no')],
  })
  const budget = aBudget({ station, channel: 'co', quantity: 'as_read', minutes: steady(100, 30) })
  expect(budget.contributions[0]).toMatchObject({ source: 'cross-sensitivity', channel: 'co', from: 'no' })
  expect(budget.combined).toBeCloseTo(3 / root3, 6)
})

test('at the guard of the oxygen the sensitivity is taken from the side where a value exists', () => {
  const station = aNightStation({
    channels: [
      gas('co', { uncertainty: perfectPapers }),
      gas('o2', { uncertainty: { ...perfectPapers, linearity: 0.2 } }),
    ],
    conversions: { referenceOxygen: 3, ambientOxygen: 21, oxygenGuard: 19 },
  })
  const budget = aBudget({ station, channel: 'co', quantity: 'at_reference_oxygen', minutes: steady(100, 19) })
  expect(budget.combined / budget.value).toBeCloseTo(0.2 / root3 / 2, 4) // by hand: u_O / (21 − 19)
})

describe('rows', () => {
  const station = aNightStation({
    channels: [gas('co'), gas('o2'), gas('flow', { quantity: 'flow', unit: 'L/min' })],
    conversions: { referenceOxygen: 3 },
    averaging: { blocks: ['PT1M', 'PT30M'], rolling: ['PT1H'] },
    stream: { expectEverySeconds: 10 },
  })
  const { all } = outputsOf(
    station,
    during(
      ten,
      ten + 90 * minute,
      lines(ten, 540, 10_000, (n) => ({ mode: 'S', co: 100 + (n % 7), o2: n < 400 ? 5 : 20.5, flow: 1.2 })),
    ),
  )
  const rows = all.flatMap((output) => (output.kind === 'block' || output.kind === 'rolling' ? [output.row] : []))

  test('every mean of a gas has an uncertainty above zero, in blocks and rolling averages', () => {
    const means = rows.filter(({ mean, channel }) => mean !== null && channel !== 'flow')
    expect(new Set(means.map(({ quantity }) => quantity))).toEqual(
      new Set(['as_read', 'mass_concentration', 'at_reference_oxygen']),
    )
    expect(means.filter(({ uncertainty }) => !(uncertainty !== null && uncertainty > 0))).toEqual([])
  })

  test('a supporting channel has none, and neither has a value that cannot be formed', () => {
    expect(rows.filter(({ channel, uncertainty }) => channel === 'flow' && uncertainty !== null)).toEqual([])
    const unformed = rows.filter(({ quantity, mean }) => quantity === 'at_reference_oxygen' && mean === null)
    expect(unformed.length).toBeGreaterThan(0)
    expect(unformed.filter(({ uncertainty }) => uncertainty !== null)).toEqual([])
  })
})

describe('values that are not means of one stream converted', () => {
  const oxygen = { ...gas('o2'), uncertainty: { ...perfectPapers, linearity: 0.2 } }
  const co = gas('co', { uncertainty: perfectPapers })
  const conversions = { referenceOxygen: 3, ambientOxygen: 21, oxygenChannel: 'o2' } as const
  const steadyLine = (n: number) => ({ mode: 'S', co: 100, o2: 5, n })
  // By hand, oxygen alone: u / value = 0.2 / √3 / (21 − 5), U twice that.
  const relative = (2 * 0.2) / root3 / 16

  test('converted reading by reading, the slopes are those at the means', () => {
    const station = aNightStation({ channels: [co, oxygen], conversions: { ...conversions, applyTo: 'readings' } })
    const night = outputsOf(station, during(ten, ten + 30 * minute, lines(ten, 30, minute, steadyLine)))
    const [row] = night.blocks('PT30M', 'co', 'at_reference_oxygen')
    expect((row?.uncertainty ?? 0) / (row?.mean ?? 1)).toBeCloseTo(relative, 6)
  })

  test('joined across two instruments, the oxygen of the other one counts', () => {
    const other = { ...oxygen, stream: 'beside' }
    const channels = [co, other]
    const station = aNightStation({ channels, conversions, beside: [besideStream('beside', channels)] })
    const events = Array.from({ length: 30 }, (_, n) => [
      aLine(ten + n * minute, { mode: 'S', co: 100 }),
      aLine(ten + n * minute + 1, { mode: 'S', o2: 5 }, { stream: 'beside' }),
    ]).flat()
    const [row] = outputsOf(station, during(ten, ten + 31 * minute, events)).blocks(
      'PT30M',
      'co',
      'at_reference_oxygen',
    )
    expect((row?.uncertainty ?? 0) / (row?.mean ?? 1)).toBeCloseTo(relative, 3)
  })
})
