import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import type { AverageRow } from '../../protocols/words/blocks.ts'
import type { EngineOutput } from '../../server/engine/outputs.ts'
import { drive, logEvents } from '../../server/station/drive-engine.ts'
import { loadStationFile } from '../../server/station/load-station-file.ts'
import { logArrivals } from '../../server/station/log-arrivals.ts'
import { openData } from '../support/open-data.ts'

// Expected values: the figures printed in the README beside each open data set, computed there from the files and not by
// this project. They are held to their printed digits.

const fixtures = join(import.meta.dirname, '..', 'fixtures', 'open-data')

/** What the engine makes of a log, by a ready station file. */
function played(stationName: string, bytes: Uint8Array) {
  const loaded = loadStationFile(join(fixtures, `${stationName}.json`))
  if (!loaded.ok) throw new Error(loaded.faults.map(({ message }) => message).join('\n'))
  const { station } = loaded
  const folder = mkdtempSync(join(tmpdir(), 'flueledger-open-'))
  const path = join(folder, 'lines.log')
  writeFileSync(path, bytes)
  const all: EngineOutput[] = []
  try {
    drive(station, logEvents(station, path, logArrivals(station)), (outputs) => all.push(...outputs), {
      unendedCounts: true,
    })
  } finally {
    rmSync(folder, { recursive: true })
  }
  const rows = all.flatMap((output) => (output.kind === 'block' ? [output.row] : []))
  return {
    all,
    rows,
    of: (channel: string, average: string): AverageRow[] =>
      rows.filter((row) => row.channel === channel && row.average === average && row.quantity === 'as_read'),
  }
}

const printed = (value: number | null | undefined, digits: number): string => (value ?? Number.NaN).toFixed(digits)
const fraction = (text: string): number => (text.split('.')[1] ?? '').length

/** Rows of the table under a heading. */
function tableUnder(heading: string, readme: string): string[][] {
  const at = readme.indexOf(heading)
  if (at < 0) throw new Error(`the README has no “${heading}”`)
  const after = readme
    .slice(at)
    .split('\n')
    .slice(1)
    .filter((line) => line.startsWith('|'))
    .slice(2)
  return after.map((line) =>
    line
      .split('|')
      .slice(1, -1)
      .map((cell) => cell.trim()),
  )
}

describe('a night of clean-air and burn cycles', () => {
  const table = tableUnder('### 30-minute blocks', openData('nist-air-burn-cycles/README.md').toString('utf8'))
  const named = openData('nist-air-burn-cycles/night.kv.log')
  const night = played('night-named', named)
  const columns = played('night-columns', openData('nist-air-burn-cycles/night.delim.log'))

  test('the README prints eight full half-hours', () => {
    expect(table.map(([number]) => number)).toEqual(['1', '2', '3', '4', '5', '6', '7', '8'])
  })
  test.each(table)(
    'half-hour %s from %s: counts and means over the burns',
    (number, start, _lines, _gasLines, withValues, oxygen, carbonMonoxide) => {
      const place = Number(number) - 1
      const co = night.of('co', 'PT30M')[place]
      const o2 = night.of('o2', 'PT30M')[place]
      expect(new Date(co?.startMs ?? 0).toISOString().slice(0, 19)).toBe(start)
      expect(String(co?.count)).toBe(withValues)
      expect(printed(co?.mean, fraction(carbonMonoxide ?? ''))).toBe(carbonMonoxide)
      expect(printed(o2?.mean, fraction(oxygen ?? ''))).toBe(oxygen)
      expect([co?.coverage, co?.valid, co?.state]).toEqual([
        Number(withValues) / 1800,
        Number(withValues) >= 1200,
        'final',
      ])
    },
  )
  test.each(table)('half-hour %s from %s: the mean over all lines, from the columns', (...cells) => {
    const all = cells[7] ?? ''
    const co = columns.of('co', 'PT30M')[Number(cells[0]) - 1]
    expect(printed(co?.mean, fraction(all))).toBe(all)
  })
  test('the half-hour that the log does not fill is kept, with the reason', () => {
    const rows = night.of('co', 'PT30M')
    expect([rows.length, rows[8]?.reasons.includes('run_ended'), rows[8]?.valid]).toEqual([9, true, true])
  })
  test('no line of either form is lost or refused but the header', () => {
    const refused = (all: readonly EngineOutput[]) =>
      all.flatMap((output) => (output.kind === 'refused' ? [output.reason] : []))
    expect([refused(night.all), refused(columns.all)]).toEqual([[], ['header']])
  })
  test('one line with another value changes the mean of its half-hour by just that, and no other mean', () => {
    const text = named.toString('utf8')
    const line = text.split('\n').find((one) => one.startsWith('2012-01-24T22:20:00 MODE=GAS')) ?? ''
    const value = Number(/ CO=(\S+)/.exec(line)?.[1])
    const changed = played(
      'night-named',
      Buffer.from(text.replace(line, line.replace(/ CO=\S+/, ` CO=${value + 1261}`))),
    )
    const means = (rows: readonly AverageRow[]) => rows.map(({ mean }) => mean ?? Number.NaN)
    const before = means(night.of('co', 'PT30M'))
    const after = means(changed.of('co', 'PT30M'))
    expect((after[0] ?? 0) - (before[0] ?? 0)).toBeCloseTo(1, 9)
    expect(after.slice(1)).toEqual(before.slice(1))
  })
})

test.each([
  {
    year: 2011,
    blocks: 308,
    over: 19,
    co: [
      [9.661108, 259],
      [0.419373, 179],
    ],
    nox: [
      [101.64975, 259],
      [49.175167, 203],
    ],
    first: [0.646327, 78.4425],
  },
  {
    year: 2012,
    blocks: 317,
    over: 20,
    co: [
      [7.213683, 273],
      [0.51796, 28],
    ],
    nox: [
      [92.880833, 42],
      [52.6805, 192],
    ],
    first: [2.344942, 83.161167],
  },
  {
    year: 2013,
    blocks: 298,
    over: 0,
    co: [
      [8.895058, 156],
      [0.963651, 239],
    ],
    nox: [
      [98.9845, 59],
      [50.087208, 216],
    ],
    first: [6.748871, 90.704333],
  },
])(
  'a gas turbine’s $year: $blocks full days of 24 rows, their highest and lowest means',
  ({ year, blocks, over, co, nox, first }) => {
    const put = played('turbine-days', openData(`uci-gas-turbine/gt_${year}.csv`))
    const extremes = (channel: string) => {
      const means = put
        .of(channel, 'PT24H')
        .slice(0, blocks)
        .map(({ mean }) => mean ?? Number.NaN)
      return [Math.max(...means), Math.min(...means)].map((mean) => [Number(mean.toFixed(6)), means.indexOf(mean) + 1])
    }
    expect([extremes('co'), extremes('nox')]).toEqual([co, nox])
    expect(['co', 'nox'].map((channel) => Number(printed(put.of(channel, 'PT24H')[0]?.mean, 6)))).toEqual(first)
    expect(put.of('co', 'PT24H').map(({ count }) => count)).toEqual([
      ...Array.from({ length: blocks }, () => 24),
      ...(over > 0 ? [over] : []),
    ])
  },
)

describe('half a year of roadside air', () => {
  const put = played('roadside-days', openData('uci-air-quality/AirQualityUCI.part.csv'))
  test('23 April 2004: the code for a missing value enters no mean', () => {
    const day = (channel: string) => put.of(channel, 'PT24H').find(({ startMs }) => startMs === Date.UTC(2004, 3, 23))
    expect([day('co')?.count, printed(day('co')?.mean, 6), day('co')?.coverage]).toEqual([19, '3.563158', 19 / 24])
    expect([day('nox')?.count, printed(day('nox')?.mean, 6)]).toEqual([19, '210.368421'])
  })
  test('eight-hour means with at least six valid hours: how many, and the highest', () => {
    const valid = put.of('co', 'PT8H').filter((row) => row.valid)
    const highest = valid.reduce((best, row) => ((row.mean ?? 0) > (best.mean ?? 0) ? row : best))
    expect([valid.length, printed(highest.mean, 6), highest.count, highest.startMs]).toEqual([
      482,
      '4.650000',
      8,
      Date.UTC(2004, 3, 16, 16),
    ])
  })
})
