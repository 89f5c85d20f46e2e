import { describe, expect, test } from 'vitest'
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
