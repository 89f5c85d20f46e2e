import { describe, expect, test } from 'vitest'
import type { EngineEvent } from '../../../../server/engine/events.ts'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import {
  aLine,
  aNightStation,
  besideStream,
  clockTime,
  during,
  gas,
  minute,
  outputsOf,
  ten,
} from '../../../support/engine-night.ts'

// CO in one stream, the oxygen that refers it in another. 100 ppm at 10 vol% are 100 · (20.9 − 3) / (20.9 − 10) at 3 vol%, by hand.
const referred = (100 * 17.9) / 10.9
const day = 24 * 60 * minute
const count = 40

/** Forty lines, one a minute, keyed by their own time; the station hears them `laterMs` after that. `oxygenFrom`: its stream's first minute. */
function twoStreams({
  oxygenFrom = 0,
  oxygenTo = 40,
  laterMs = 0,
  oxygenLagMs = 0,
  align = 'clock' as 'clock' | 'run',
}) {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const station = aNightStation({
    averaging: { align, blocks: ['PT10M'], rolling: ['PT10M'], run: { rule: 'fraction', minimum: '2/3' } },
    channels,
    stream: { timeFrom: 'line' },
    beside: [besideStream('beside', channels, { timeFrom: 'line' })],
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
  })
  const readings = Array.from({ length: count }, (_, number) => {
    const own = ten + number * minute
    const told = aLine(own + laterMs, { mode: 'S', co: 100 }, { own })
    const beside = aLine(own + laterMs, { mode: 'S', o2: 10 }, { own: own + oxygenLagMs, stream: 'beside' })
    return number >= oxygenFrom && number < oxygenTo ? [told, beside] : [told]
  }).flat()
  return outputsOf(station, during(ten + laterMs, ten + laterMs + count * minute, readings))
}

describe('averages across streams', () => {
  test('of lines that tell their own time end with the lines, whatever the station’s clock says', () => {
    const put = twoStreams({ laterMs: 5 * day })
    const [run] = put.blocks('PT2400S', 'co', 'at_reference_oxygen')
    expect([run?.startMs, run?.endMs, run?.coverage, run?.valid]).toEqual([ten, ten + 40 * minute, 1, true])
    expect(run?.mean).toBeCloseTo(referred, 9)
    expect(
      put
        .rolling('PT10M', 'co', 'at_reference_oxygen')
        .map(({ endMs }) => clockTime(endMs))
        .at(-1),
    ).toBe('10:40:00')
  })
  test('are formed from where both streams speak, though one began later', () => {
    const tens = twoStreams({ oxygenFrom: 12 }).blocks('PT10M', 'co', 'at_reference_oxygen')
    expect(tens.map(({ startMs, count, valid }) => [clockTime(startMs), count, valid])).toEqual([
      ['10:00:00', 0, false],
      ['10:10:00', 8, true],
      ['10:20:00', 10, true],
      ['10:30:00', 10, true],
    ])
  })
  test('are formed up to where both streams spoke, though one ended earlier', () => {
    const tens = twoStreams({ oxygenTo: 28 }).blocks('PT10M', 'co', 'at_reference_oxygen')
    expect(tens.map(({ startMs, count, valid }) => [clockTime(startMs), count, valid])).toEqual([
      ['10:00:00', 10, true],
      ['10:10:00', 10, true],
      ['10:20:00', 8, true],
      ['10:30:00', 0, false],
    ])
  })
  test('aligned to the run are formed too where the lines of both begin seconds apart', () => {
    const tens = twoStreams({ align: 'run', oxygenLagMs: 7000 }).blocks('PT10M', 'co', 'at_reference_oxygen')
    expect(tens.slice(0, 4).map(({ startMs, valid }) => [clockTime(startMs), valid])).toEqual([
      ['10:00:00', true],
      ['10:10:00', true],
      ['10:20:00', true],
      ['10:30:00', true],
    ])
    expect(tens[0]?.mean).toBeCloseTo(referred, 9)
  })
  test('of an instrument whose lines come hours after the others’ are formed without them, and the logbook says so', () => {
    const channels = [gas('co'), gas('o2', { stream: 'beside' }), gas('no', { stream: 'third' })]
    const station = aNightStation({
      averaging: { blocks: ['PT1H'], rolling: [], run: 'none' },
      channels,
      stream: { timeFrom: 'line' },
      beside: [
        besideStream('beside', channels, { timeFrom: 'line' }),
        besideStream('third', channels, { timeFrom: 'line' }),
      ],
      conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
    })
    const four = Array.from({ length: 240 }, (_, number) => ten + number * minute)
    const heard = (stream: string, gases: Record<string, number>, laterMs: number) =>
      four.map((own, number) => aLine(ten + laterMs + number * 100, { mode: 'S', ...gases }, { own, stream }))
    const put = outputsOf(
      station,
      during(ten, ten + 5 * 60 * minute, [
        ...heard('main', { co: 100 }, 0),
        ...heard('beside', { o2: 10 }, minute),
        ...heard('third', { no: 50 }, 2 * minute),
      ]),
    )
    // Two hours wait for the others: of the four, the first two were formed alone.
    const counts = (channel: string) =>
      put.blocks('PT1H', channel, 'at_reference_oxygen').map(({ startMs, count }) => [clockTime(startMs), count])
    expect(counts('co')[0]).toEqual(['10:00:00', 0])
    expect(put.blocks('PT1H', 'co', 'at_reference_oxygen')[3]?.mean).toBeCloseTo(referred, 9)
    // What comes late of both others never slips into a later block.
    for (const { count, mean } of put.blocks('PT1H', 'no', 'at_reference_oxygen')) {
      expect(count).toBeLessThanOrEqual(60)
      if (mean !== null) expect(mean).toBeCloseTo((50 * 17.9) / 10.9, 9)
    }
    expect(counts('no')[0]).toEqual(['10:00:00', 0])
    const told = put.of('notice').filter(({ code }) => code === 'joined_without')
    expect(told.map(({ stream }) => stream)).toEqual(['beside', 'third'])
    expect(told[0]?.text).toMatch(/^readings from 2026-01-15T10:00:00.000Z on came 2 h or more after/)
  })
})

/** A station of CO in `main` and the oxygen that refers it in `beside`. */
function aReferredStation(
  { averaging, conversions, corrections }: Partial<Pick<StationFileInput, 'averaging' | 'conversions' | 'corrections'>>,
  expectEverySeconds = 60,
) {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  return aNightStation({
    channels,
    averaging: { blocks: ['PT30M'], rolling: [], run: 'none', ...averaging },
    conversions: {
      ...{ referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
      ...conversions,
    },
    ...(corrections ? { corrections } : {}),
    stream: { expectEverySeconds },
    beside: [besideStream('beside', channels, { expectEverySeconds })],
  })
}

test('two instruments that send every two minutes, in turns, have averages across both', () => {
  const lines = Array.from({ length: 20 }, (_, number) => ten + number * 2 * minute).flatMap((at) => [
    aLine(at, { mode: 'S', co: 100 }),
    aLine(at + minute, { mode: 'S', o2: 10 }, { stream: 'beside' }),
  ])
  const put = outputsOf(aReferredStation({}, 120), during(ten, ten + 40 * minute, lines))
  const [half] = put.blocks('PT30M', 'co', 'at_reference_oxygen')
  // Both count from the second minute on: 29 minutes, in which each sent fifteen lines, CO the first of them before.
  expect([half?.countedMs, half?.count, half?.valid]).toEqual([29 * minute, 14, true])
  expect(half?.mean).toBeCloseTo(referred, 9)
})

test('a mean is as sure with its oxygen from another instrument as with it from the same one', () => {
  const expandedOf = (apart: boolean): number => {
    const channels = [gas('so2', { species: 'SO2' }), gas('no2'), gas('o2', apart ? { stream: 'beside' } : {})]
    const station = aNightStation({
      channels,
      averaging: { blocks: ['PT30M'], rolling: [], run: 'none' },
      conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
      stream: { expectEverySeconds: 10 },
      beside: apart ? [besideStream('beside', channels, { expectEverySeconds: 10 })] : [],
    })
    // SO2 scatters within each minute, by 20 ppm from line to line and more.
    const lines = Array.from({ length: 180 }, (_, number) => {
      const at = ten + number * 10_000
      const own = { mode: 'S', so2: 50 + 20 * (((number * 7) % 5) - 2), no2: 30 }
      const beside = { mode: 'S', o2: 10 }
      return apart ? [aLine(at, own), aLine(at, beside, { stream: 'beside' })] : [aLine(at, { ...own, ...beside })]
    }).flat()
    const [half] = outputsOf(station, during(ten, ten + 30 * minute, lines)).blocks(
      'PT30M',
      'so2',
      'at_reference_oxygen',
    )
    return half?.uncertainty ?? Number.NaN
  }
  // The SO2 cell may show 1 ppm per ppm of NO2: of 30 ppm, u = 30 / √3 ppm, at 3 vol% times 17.9 / 10.9. That alone makes 2 u.
  expect(expandedOf(true)).toBeGreaterThan((2 * 30 * 17.9) / 10.9 / Math.sqrt(3))
  expect(expandedOf(true)).toBeCloseTo(expandedOf(false), 9)
})

describe('what an average across instruments says of itself', () => {
  test('is what the minutes of either instrument say: no zero yet, a gap, a fault', () => {
    const half = (co: (number: number) => string | null, o2: (number: number) => string | null) => {
      const lines = Array.from({ length: 30 }, (_, number): EngineEvent[] => {
        const at = ten + number * minute
        const [own, beside] = [co(number), o2(number)]
        return [
          ...(own ? [aLine(at, { mode: own, co: 100 })] : []),
          ...(beside ? [aLine(at, { mode: beside, o2: 10 }, { stream: 'beside' })] : []),
        ]
      }).flat()
      const station = aReferredStation({ corrections: { zero: 'last' } })
      return outputsOf(station, during(ten, ten + 30 * minute, lines)).blocks('PT30M', 'co', 'at_reference_oxygen')[0]
        ?.reasons
    }
    expect(
      half(
        () => 'S',
        () => 'S',
      ),
    ).toEqual(['no_zero_yet'])
    const purged = (number: number) => (number < 4 ? 'P' : 'S')
    expect(half(purged, () => 'S')).toEqual([])
    expect(half(purged, (number) => (number === 20 ? 'F' : 'S'))).toEqual(['instrument_fault'])
    expect(half(purged, (number) => (number > 10 && number < 16 ? null : 'S'))).toEqual(['gap'])
  })

  test('is that an hour in which either was zeroed needs two readings a quarter of an hour apart, no reading in each quarter', () => {
    const hour = (from: number, to: number) => {
      const lines = Array.from({ length: 60 }, (_, number) => [
        aLine(ten + number * minute, { mode: 'S', co: 100 }),
        aLine(ten + number * minute, { mode: number >= from && number < to ? 'S' : 'Z', o2: 10 }, { stream: 'beside' }),
      ]).flat()
      const station = aReferredStation({
        averaging: { blocks: ['PT1H'], rolling: [], validity: { rule: 'quadrants', purgeIsQualityAssurance: false } },
      })
      return outputsOf(station, during(ten, ten + 60 * minute, lines)).blocks('PT1H', 'co', 'at_reference_oxygen')[0]
    }
    expect([hour(0, 20)?.valid, hour(0, 20)?.reasons]).toEqual([true, []])
    // 10:00 to 10:14 are 14 minutes apart.
    expect([hour(0, 15)?.valid, hour(0, 15)?.reasons]).toEqual([false, ['points_too_close', 'oxygen_invalid']])
  })

  test('is that its oxygen is invalid where it is', () => {
    const lines = Array.from({ length: 30 }, (_, number) => [
      aLine(ten + number * minute, { mode: 'S', co: 100 }),
      aLine(ten + number * minute, { mode: number < 10 ? 'S' : 'R', o2: 10 }, { stream: 'beside' }),
    ]).flat()
    const put = outputsOf(aReferredStation({}), during(ten, ten + 30 * minute, lines))
    expect(put.blocks('PT30M', 'co', 'at_reference_oxygen')[0]?.reasons).toEqual(['coverage_low', 'oxygen_invalid'])
  })
})

test('an average across two instruments does not wait for a third of which it needs nothing', () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' }), gas('no', { stream: 'third' })]
  const station = aNightStation({
    averaging: { blocks: ['PT10M'], rolling: [], run: 'none' },
    channels,
    beside: [besideStream('beside', channels), besideStream('third', channels, { timeFrom: 'line' })],
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
  })
  // The third, keyed by its lines' own time, never sends one.
  const lines = Array.from({ length: 60 }, (_, number) => [
    aLine(ten + number * minute, { mode: 'S', co: 100 }),
    aLine(ten + number * minute, { mode: 'S', o2: 10 }, { stream: 'beside' }),
  ]).flat()
  const { put } = outputsOf(station, during(ten, ten + 60 * minute, lines))
  const first = put.find(
    ({ output }) =>
      output.kind === 'block' && output.row.quantity === 'at_reference_oxygen' && output.row.channel === 'co',
  )
  // The block ends at 10:10; its last minute is joined when both have finished the next.
  expect(clockTime(first?.eventMs ?? 0) <= '10:14:00').toBe(true)
})

test('a supporting channel of another instrument supports nothing once that has fallen silent', () => {
  const channels = [
    gas('co', { needs: [{ channel: 'pump', between: [0.6, 1.5] }] }),
    gas('pump', { quantity: 'flow', unit: 'L/min', stream: 'beside' }),
  ]
  const station = aNightStation({ channels, beside: [besideStream('beside', channels)] })
  // The pump's flow is told each minute, the last time at 10:09.
  const lines = Array.from({ length: 30 }, (_, number) => [
    ...(number < 10 ? [aLine(ten + number * minute, { mode: 'S', pump: 1 }, { stream: 'beside' })] : []),
    aLine(ten + number * minute, { mode: 'S', co: 100 }),
  ]).flat()
  const [half] = outputsOf(station, during(ten, ten + 30 * minute, lines)).blocks('PT30M')
  // Silent after three missed lines, at 10:12: readings from 10:00 to 10:12 count.
  expect([half?.count, half?.valid, half?.reasons]).toEqual([13, false, ['coverage_low']])
})

test('a limit at the reference oxygen is held against no reading once the oxygen’s instrument has fallen silent', () => {
  const channels = [gas('co'), gas('o2', { stream: 'beside' })]
  const station = aNightStation({
    channels,
    beside: [besideStream('beside', channels)],
    conversions: { referenceOxygen: 3, ambientOxygen: 20.9, referredUnit: 'ppm', oxygenChannel: 'o2' },
    limits: [{ id: 'co', channel: 'co', of: 'reading', value: 150, unit: 'ppm', referenceOxygen: 3 }],
  })
  const raised = (oxygenTo: number) => {
    const lines = Array.from({ length: 30 }, (_, number) => [
      ...(number < oxygenTo ? [aLine(ten + number * minute, { mode: 'S', o2: 10 }, { stream: 'beside' })] : []),
      // 100 ppm at 10 vol% are 164 ppm at 3; before 10:20 a tenth of it.
      aLine(ten + number * minute, { mode: 'S', co: number < 20 ? 10 : 100 }),
    ]).flat()
    return outputsOf(station, during(ten, ten + 30 * minute, lines))
      .of('alarm')
      .some(({ transition }) => transition.class === 'limit')
  }
  expect([raised(30), raised(10)]).toEqual([true, false])
})
