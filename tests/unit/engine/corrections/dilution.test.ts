import { describe, expect, test } from 'vitest'
import { stationWarnings } from '../../../../server/engine/settings/warnings.ts'
import { perfectPapers } from '../../../support/a-budget.ts'
import { aNightStation, during, gas, lines, minute, outputsOf, ten } from '../../../support/engine-night.ts'

const hour = ten + 60 * minute
const channels = [gas('co'), gas('o2', { diluted: false })]
const limits = [{ channel: 'co', of: 'block', average: 'PT30M', value: 300, unit: 'ppm' }] as const
const referred = { referenceOxygen: 3, ambientOxygen: 20.9 } as const

/** `F` is the factor by which the instrument dilutes now; its values do not know it. */
const told = (
  factor: (number: number) => number | null,
  more: Parameters<typeof aNightStation>[0] = {},
  co: (number: number) => number = () => 100,
) => {
  const station = aNightStation({ channels, conversions: referred, averaging: { blocks: ['PT30M'] }, ...more })
  const [stream] = station.streams
  if (!stream || typeof stream.profile === 'string') throw new Error('the night has one stream with its profile inline')
  const profile = {
    ...stream.profile,
    fields: [...stream.profile.fields, { ...stream.profile.fields[1], name: 'f', at: 'F' }],
    dilution: { state: 'not-in-the-values', field: 'f' },
  } as typeof stream.profile
  const night = lines(ten, 60, minute, (number) => ({ mode: 'S', co: co(number), o2: 6, no: 7, f: factor(number) }))
  return outputsOf({ ...station, streams: [{ ...stream, profile }] }, during(ten, hour, night))
}
const mean = (put: ReturnType<typeof outputsOf>, channel: string, quantity: string) =>
  put.blocks('PT30M', channel, quantity).map((row) => row.mean)

/** CO in mg/m³ of one ppm at 273.15 K and 101.325 kPa: 28.010 g/mol (IUPAC) over R T / p (CODATA). */
const massPerPpm = 28.01 / ((8.314462618 * 273.15) / 101.325)

// c = dilution factor · reading, and E_r = E_m (21 − O_r) / (21 − O_m), here with 20.9: arithmetic beside the equation, the latter of
// Directive 2010/75/EU, Annex VI part 7.
describe('a dilution that the line tells', () => {
  const put = told((number) => (number < 30 ? 4 : 2))

  test('is taken out of the cells that see the diluted sample, reading by reading, and of no other', () => {
    expect(mean(put, 'co', 'as_read')).toEqual([100, 100])
    expect(mean(put, 'co', 'drift_corrected')).toEqual([400, 200])
    expect(mean(put, 'o2', 'as_read')).toEqual([6, 6])
    expect(mean(put, 'o2', 'drift_corrected')).toEqual([])
  })
  test('goes into what is referred to an oxygen content', () => {
    expect(mean(put, 'co', 'at_reference_oxygen')).toEqual([
      expect.closeTo((massPerPpm * 400 * (20.9 - 3)) / (20.9 - 6), 6),
      expect.closeTo((massPerPpm * 200 * (20.9 - 3)) / (20.9 - 6), 6),
    ])
  })
  test('goes into what is compared with a limit', () => {
    const raised = (factor: number) => told(() => factor, { limits: [...limits] }).of('alarm').length > 0
    expect([raised(4), raised(2)]).toEqual([true, false])
  })
  test('holds until another one is told, and nothing counts before the first', () => {
    // Half an hour of minutes: ten without a factor, then 4 once; of the next ten one tells 2, later lines nothing.
    const seldom = told((number) => (number === 10 ? 4 : number === 20 ? 2 : null))
    const [first, second] = seldom.blocks('PT30M', 'co', 'drift_corrected')
    expect([first?.mean, first?.count, first?.coverage]).toEqual([(10 * 400 + 10 * 200) / 20, 20, 2 / 3])
    expect([second?.mean, second?.count]).toEqual([200, 30])
    expect(seldom.blocks('PT30M', 'o2')[0]?.count).toBe(30)
  })
  test('multiplies what the cell shows wrong by so many ppm with its mean over the average', () => {
    // By hand, k = 2: readings without scatter, 12 ppm / √3 and 6 ppm / √12 of the cell, as often as the sample is diluted.
    const papers = { ...perfectPapers, zeroDrift: 12, resolution: 6 }
    const doubted = { channels: [gas('co', { uncertainty: papers }), gas('o2', { diluted: false })] }
    const U = (factor: (number: number) => number | null, co?: (number: number) => number) =>
      told(factor, doubted, co)
        .blocks('PT30M', 'co', 'drift_corrected')
        .map(({ uncertainty }) => uncertainty)
    const once = 2 * Math.hypot(12 / Math.sqrt(3), 6 / Math.sqrt(12))
    const times = (factor: number) => expect.closeTo(factor * once, 6)
    expect(U((number) => (number < 30 ? 4 : 2))).toEqual([times(4), times(2)])
    // From minute to minute another, the gas in the duct always 400 ppm: 3 in the mean.
    const turns = (number: number) => (number % 2 === 0 ? 4 : 2)
    expect(U(turns, (number) => 400 / turns(number))).toEqual([times(3), times(3)])
    // Told once, it holds.
    expect(U((number) => (number === 0 ? 4 : null))).toEqual([times(4), times(4)])
    // What is read is what the cell shows.
    const asRead = told(() => 4, doubted).blocks('PT30M', 'co', 'as_read')
    expect(asRead.map(({ uncertainty }) => uncertainty)).toEqual([times(1), times(1)])
  })
  test.each([0, 0.5, -4, 20_000])('of %d is none: what it would make of the cells does not count', (factor) => {
    const put = told((number) => (number < 30 ? 4 : factor), {
      channels: [
        ...channels,
        gas('no', { diluted: false }),
        { id: 'sum', sumOf: ['co', 'no'], unit: 'ppm', species: 'NOx' },
      ],
    })
    expect(put.blocks('PT30M', 'co', 'drift_corrected').map(({ mean, count }) => [mean, count])).toEqual([
      [400, 30],
      [null, 0],
    ])
    expect(put.blocks('PT30M', 'sum', 'drift_corrected').map(({ mean, count }) => [mean, count])).toEqual([
      [407, 30],
      [null, 0],
    ])
    expect(put.blocks('PT30M', 'o2')[1]?.count).toBe(30)
  })
  test('its change is told', () => {
    expect(put.of('notice').map(({ text }) => text)).toEqual(['the dilution factor went from 4 to 2'])
  })
})

describe('a fixed dilution', () => {
  const station = (zero: 'last' | 'interpolated', own: object = {}) =>
    aNightStation({
      channels: [gas('co'), gas('no', own)],
      stream: { dilution: 4 },
      corrections: { zero },
      averaging: { blocks: ['PT30M'] },
    })
  const isPurge = (number: number) => number < 5 || (number >= 30 && number < 35)
  const night = lines(ten, 60, minute, (number) =>
    isPurge(number) ? { mode: 'P', co: number < 5 ? 2 : 4, no: number < 5 ? 2 : 4 } : { mode: 'S', co: 50, no: 50 },
  )
  const finals = (put: ReturnType<typeof outputsOf>, channel: string) =>
    put
      .blocks('PT30M', channel, 'drift_corrected')
      .filter(({ state }) => state === 'final')
      .map((row) => row.mean)

  test('multiplies what is left after the zero, and leaves out a cell that sees the sample as it is', () => {
    const put = outputsOf(station('last', { diluted: false }), during(ten, hour, night))
    expect([finals(put, 'co'), finals(put, 'no')]).toEqual([
      [4 * 48, 4 * 46],
      [48, 46],
    ])
  })
  test('so too where zeros lie on a line between two purges', () => {
    const put = outputsOf(station('interpolated', { diluted: false }), during(ten, hour, night))
    // Zeros 2 at minute 2 and 4 at 32; the readings of minutes 5 … 29 count, on average at minute 17.
    const zero = 2 + (2 * (17 - 2)) / 30
    expect(finals(put, 'co')[0]).toBeCloseTo(4 * (50 - zero), 9)
    expect(finals(put, 'no')[0]).toBeCloseTo(50 - zero, 9)
  })
  test('warns where oxygen is multiplied by it', () => {
    const warned = (diluted: boolean) =>
      stationWarnings(aNightStation({ channels: [gas('co'), gas('o2', { diluted })], stream: { dilution: 4 } })).filter(
        ({ path }) => path.at(-1) === 'diluted',
      )
    expect([warned(true).length, warned(false).length]).toEqual([1, 0])
  })
  test('is refused where one value joins both kinds of cells and zeros lie on a line', () => {
    expect(() =>
      aNightStation({
        channels: [
          gas('no'),
          gas('no2', { diluted: false }),
          { id: 'nox', sumOf: ['no', 'no2'], species: 'NOx', unit: 'ppm' },
        ],
        stream: { dilution: 4 },
        corrections: { zero: 'interpolated' },
      }),
    ).toThrow()
  })
})
