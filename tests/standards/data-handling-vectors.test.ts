import { existsSync, readFileSync } from 'node:fs'
import { resolve } from 'node:path'
import { DateTime } from 'luxon'
import { describe, expect, test } from 'vitest'
import { clockGrid } from '../../server/engine/averaging/grid.ts'
import type { StationFileInput } from '../../server/engine/settings/station-file.ts'
import { aLine, aNightStation, during, gas, lines, minute, outputsOf, ten } from '../support/engine-night.ts'

// Source: the project's hand-checkable data-handling vectors; their rules (AV: averaging, TM: time, SC: schedules of
// purges) come from 40 CFR 60.13(h)(2) and 63.8(g), Directive 2010/75/EU with EN 17255-1, and common practice where they
// say so. Tolerance as the vectors state: 1e-6 on numbers; counts and verdicts exact.

interface Verdict {
  readonly valid: boolean
  readonly mean: number | null
  readonly n_valid: number
}
interface Series {
  readonly start: string
  readonly step_s: number
  readonly phase: string
  readonly values: readonly (number | null)[]
}

function vectorOf(id: string) {
  const folder = process.env.FLUELEDGER_SHARED ?? resolve(process.cwd(), '..', 'shared')
  const file = resolve(folder, 'reference', 'data-handling-vectors.json')
  if (!existsSync(file))
    throw new Error(
      `the data-handling vectors are missing: ${file} does not exist; set FLUELEDGER_SHARED to their folder`,
    )
  const { vectors } = JSON.parse(readFileSync(file, 'utf8'))
  const found = vectors.find((vector: { id: string }) => vector.id === id)
  if (!found) throw new Error(`${file} has no vector ${id}`)
  return found
}

type Averaging = NonNullable<StationFileInput['averaging']>
const hours = (validity: Averaging['validity']): Averaging => ({
  blocks: ['PT30M', 'PT1H'],
  ...(validity ? { validity } : {}),
})
const quadrants = (purgeIsQualityAssurance: boolean): Averaging => hours({ rule: 'quadrants', purgeIsQualityAssurance })

/** The series as a night: each phase a status word, no record no line; from its first minute to the hour's end. */
function night({ start, step_s, phase, values }: Series, averaging: Averaging) {
  const at = Date.parse(start)
  const step = step_s * 1000
  const station = aNightStation({ channels: [gas('nox')], averaging, stream: { expectEverySeconds: step_s } })
  return outputsOf(
    station,
    during(
      at,
      at + phase.length * step,
      lines(at, phase.length, step, (number) =>
        phase[number] === '-' ? null : { mode: phase[number] ?? '', nox: values[number] ?? null },
      ),
    ),
  )
}

function expectVerdict(
  row: { valid: boolean; mean: number | null; count: number } | undefined,
  { valid, mean, n_valid }: Verdict,
): void {
  expect([row?.valid, row?.count]).toEqual([valid, n_valid])
  if (mean === null) expect(row?.mean).toBeNull()
  else expect(Math.abs((row?.mean ?? Number.NaN) - mean)).toBeLessThan(1e-6)
}

describe('hours of an invented day', () => {
  test.each(['V01', 'V02', 'V03', 'V04', 'V05', 'V06'])(
    '%s: half-hours by two thirds of their time (AV-10, SC-1)',
    (id) => {
      const { inputs, expected } = vectorOf(id)
      const rows = night(inputs, hours({ rule: 'fraction', minimum: '2/3' })).blocks('PT30M', 'nox')
      expect(rows).toHaveLength(2)
      expected.eu_half_hours_2_of_3.forEach((half: Verdict & { coverage: number }, place: number) => {
        expectVerdict(rows[place], half)
        expect(rows[place]?.coverage).toBeCloseTo(half.coverage, 6)
      })
    },
  )

  test.each(['V01', 'V02', 'V03', 'V04', 'V05', 'V06'])(
    '%s: an hour by its quadrants, where a purge is quality assurance (AV-1, AV-3)',
    (id) => {
      const { inputs, expected } = vectorOf(id)
      const rows = night(inputs, quadrants(true)).blocks('PT1H', 'nox')
      expect(rows).toHaveLength(1)
      expectVerdict(rows[0], expected.us_60_13_purge_is_qa)
    },
  )

  test.each(['V01', 'V02', 'V03', 'V04', 'V05'])(
    '%s: an hour by its quadrants, where a purge is none (AV-1, AV-3)',
    (id) => {
      const { inputs, expected } = vectorOf(id)
      const rows = night(inputs, quadrants(false)).blocks('PT1H', 'nox')
      expect(rows).toHaveLength(1)
      expectVerdict(rows[0], expected.us_60_13_purge_is_not_qa)
    },
  )

  test.each(['V01', 'V02', 'V03', 'V04', 'V05'])('%s: an hour by three quarters of its records (AV-1)', (id) => {
    const { inputs, expected } = vectorOf(id)
    expectVerdict(
      night(inputs, hours({ rule: 'fraction', minimum: '3/4' })).blocks('PT1H', 'nox')[0],
      expected.three_quarters_of_records,
    )
  })
})

describe('V22: what schedules of purges leave valid (SC-1, AV-1, AV-10)', () => {
  test.each([0, 1, 2, 3, 4])('schedule %d', (place) => {
    const result = vectorOf('V22').expected.results[place]
    const series: Series = {
      start: '2026-01-15T10:00:00Z',
      step_s: 60,
      phase: result.phase,
      values: [...result.phase].map(() => 100),
    }
    const asQuality = night(series, quadrants(true)).blocks('PT1H', 'nox')[0]
    const asPlain = night(series, quadrants(false)).blocks('PT1H', 'nox')[0]
    const halves = night(series, hours({ rule: 'fraction', minimum: '2/3' })).blocks('PT30M', 'nox')
    expect({
      counted: asQuality?.countedMs,
      quality: asQuality?.valid,
      plain: asPlain?.valid,
      halves: halves.map(({ valid }) => valid),
    }).toEqual({
      counted: result.valid_min * minute,
      quality: result.us_60_13_purge_is_qa,
      plain: result.us_60_13_purge_is_not_qa,
      halves: result.eu_half_hours,
    })
  })
})

describe('V11: the order of averaging and oxygen correction (AV-12)', () => {
  const { inputs, expected } = vectorOf('V11')
  const referred = (applyTo: 'blocks' | 'readings') => {
    const station = aNightStation({
      channels: [gas('nox'), gas('o2')],
      stream: { expectEverySeconds: 900 },
      conversions: {
        referenceOxygen: inputs.o2_ref_pct,
        ambientOxygen: inputs.o2_air_pct,
        referredUnit: 'ppm',
        applyTo,
      },
    })
    const readings = lines(ten, 2, 900_000, (number) => ({
      mode: 'S',
      nox: inputs.nox_ppm[number],
      o2: inputs.o2_pct[number],
    }))
    return outputsOf(station, during(ten, ten + 30 * minute, readings)).blocks('PT30M', 'nox', 'at_reference_oxygen')[0]
  }
  test('means are formed first, then referred to the reference oxygen', () => {
    expect(referred('blocks')?.mean).toBeCloseTo(expected.average_then_correct, 6)
  })
  test('where readings are to be converted one by one, the mean is the other one', () => {
    expect(referred('readings')?.mean).toBeCloseTo(expected.correct_then_average, 6)
  })
})

describe.each([
  { id: 'V12', what: 'autumn', fixed: 'fixed_standard_time_day_utc_plus_1' },
  { id: 'V13', what: 'spring', fixed: 'local_standard_time_day_utc_minus_5' },
])('$id: the $what change of the clock (TM-1, TM-2, TM-3)', ({ id, fixed }) => {
  const { inputs, expected } = vectorOf(id)
  const first = Date.parse(inputs.hourly_start_utc)
  const legal = expected.legal_day
  const standard = expected[fixed]
  const label = (ms: number) => DateTime.fromMillis(ms, { zone: inputs.zone }).toISO({ suppressMilliseconds: true })
  const starts = (grid: ReturnType<typeof clockGrid>, length: number, fromMs: number) => {
    const day = grid.block(24 * 60 * minute, fromMs)
    const found: number[] = []
    for (let at = day.startMs; at < day.endMs; at = grid.block(length, at).endMs)
      found.push(grid.block(length, at).startMs)
    return found
  }
  /** A value an hour, as the vector has them, stamped at the hour's start. */
  const driven = (standardTime: boolean) => {
    const count = inputs.hourly_values.length
    const station = aNightStation({
      channels: [gas('nox')],
      stream: { expectEverySeconds: 3600 },
      averaging: { blocks: ['PT30M', 'PT1H', 'PT24H'] },
      station: { name: 'Invented duct', timeZone: inputs.zone, standardTime },
    })
    return outputsOf(
      station,
      during(
        first,
        first + count * 60 * minute,
        lines(first, count, 60 * minute, (number) => ({ mode: 'S', nox: inputs.hourly_values[number] })),
      ),
    )
  }

  test('the legal day is cut into the hours that it has', () => {
    expect(starts(clockGrid(inputs.zone, false), 60 * minute, first).map(label)).toEqual(legal.labels_start)
    expect(starts(clockGrid(inputs.zone, false), 30 * minute, first)).toHaveLength(legal.n_half_hours)
  })
  test('a day of standard time has 24 hours', () => {
    const hoursOfDay = starts(clockGrid(inputs.zone, true), 60 * minute, Date.parse(standard.start_utc))
    expect([hoursOfDay[0], hoursOfDay.length]).toEqual([Date.parse(standard.start_utc), standard.n_hours])
  })
  test('the engine gives each hour of the legal day once, and the mean of the day', () => {
    const put = driven(false)
    const day = put.blocks('PT24H', 'nox').find(({ startMs }) => label(startMs) === legal.labels_start[0])
    const within = put
      .blocks('PT1H', 'nox')
      .filter(({ startMs }) => startMs >= (day?.startMs ?? 0) && startMs < (day?.endMs ?? 0))
    expect(within.map(({ startMs }) => label(startMs))).toEqual(legal.labels_start)
    expect(within.map(({ mean }) => mean)).toEqual(inputs.hourly_values.slice(0, legal.n_hours))
    expect([day?.count, day?.coverage, day?.mean]).toEqual([legal.n_hours, 1, legal.mean])
  })
  test('the engine gives the mean of the day of standard time', () => {
    const day = driven(true)
      .blocks('PT24H', 'nox')
      .find(({ startMs }) => startMs === Date.parse(standard.start_utc))
    expect([day?.count, day?.coverage, day?.mean]).toEqual([standard.n_hours, 1, standard.mean])
  })
})

test('V14: a gap is found from the expected step, and nothing fills it (TM-6)', () => {
  const { inputs, expected } = vectorOf('V14')
  const start = Date.parse(inputs.start)
  const station = aNightStation({ channels: [gas('nox')], averaging: { blocks: ['PT30M'] } })
  const readings = inputs.offsets_s.map((offset: number, place: number) =>
    aLine(start + offset * 1000, { mode: 'S', nox: inputs.values[place] }),
  )
  const put = outputsOf(station, during(start, start + 30 * minute, readings))
  const [row] = put.blocks('PT30M', 'nox')
  expect(put.of('notice').map(({ code, atMs, text }) => ({ code, atMs, text }))).toEqual([
    { code: 'gap', atMs: start + expected.gaps[0].to_s * 1000, text: `no line for ${expected.gaps[0].length_s} s` },
  ])
  // 7 counted minutes of the 13 that the vector looks at; the block of the engine is the half-hour.
  expect([row?.count, row?.countedMs]).toEqual([
    expected.n_valid,
    Math.round(expected.coverage * expected.n_expected) * minute,
  ])
  expect(row?.mean).toBeCloseTo(expected.mean_no_fill, 6)
  expect(row?.reasons).toContain('gap')
})

test('V15: a source clock that steps back neither moves nor drops a reading that is keyed by arrival (TM-5)', () => {
  const { inputs, expected } = vectorOf('V15')
  const own = (text: string) => Date.parse(`${inputs.day}T${text}Z`)
  const first = own(inputs.records[0].source_stamp)
  const station = aNightStation({ channels: [gas('nox')], averaging: { blocks: ['PT15M'] } })
  const readings = inputs.records.map(
    ({ mono_s, source_stamp, value }: { mono_s: number; source_stamp: string; value: number }) =>
      aLine(first + mono_s * 1000, { mode: 'S', nox: value }, { own: own(source_stamp) }),
  )
  const put = outputsOf(station, during(first, first + 21 * minute, readings))
  const rows = put.blocks('PT15M', 'nox')
  expect(
    rows.map(({ startMs, count, mean }) => ({ start: new Date(startMs).toISOString().slice(11, 16), n: count, mean })),
  ).toEqual(expected.blocks_15min)
  const steps = put.of('notice').filter(({ code }) => code === 'source_clock_step')
  expect(steps.map(({ atMs, text }) => [atMs, text])).toEqual([
    [first + 11 * minute, `the instrument’s clock jumped by ${expected.clock_events[0].offset_change_s} s`],
  ])
  expect(put.of('refused')).toEqual([])
})

test.each(['start', 'end'] as const)('V16: stamps that stand at the %s of the minute (TM-4)', (stamp) => {
  const { inputs, expected } = vectorOf('V16')
  const station = aNightStation({ channels: [gas('nox')], stream: { stamp, timeFrom: 'line' } })
  const readings = inputs.values.map((value: number, place: number) =>
    aLine(ten + place * minute, { mode: 'S', nox: value }),
  )
  const rows = outputsOf(station, during(ten, ten + 60 * minute, readings)).blocks('PT30M', 'nox')
  const block = (startMs: number) =>
    rows.filter((row) => row.startMs === startMs).map(({ count, mean }) => ({ n: count, mean }))
  const expectedBlocks = expected[`if_stamp_is_${stamp}`]
  expect([block(ten), block(ten + 30 * minute)]).toEqual([[expectedBlocks.block_10_00], [expectedBlocks.block_10_30]])
})
