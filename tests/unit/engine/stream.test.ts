import { describe, expect, test } from 'vitest'
import {
  aLine,
  aNightStation,
  during,
  lines,
  link,
  minute,
  outputsOf,
  run,
  ten,
  tick,
} from '../../support/engine-night.ts'

const half = ten + 30 * minute
const byLine = aNightStation({ stream: { timeFrom: 'line' } })
const s = (count: number, from = ten) => lines(from, count, minute, (number) => ({ mode: 'S', co: number }))
const refusals = (put: ReturnType<typeof outputsOf>) => put.of('refused').map(({ reason }) => reason)

describe('the order of readings', () => {
  test('keyed by the line, a stamp not later than the newest takes no part, is kept and told', () => {
    const late = [
      aLine(ten + 5 * minute + 1, { mode: 'S', co: 900 }, { own: ten + 2 * minute }),
      aLine(ten + 5 * minute + 2, { mode: 'S', co: 900 }, { own: ten + 5 * minute }),
    ]
    const readings = s(30)
    const put = outputsOf(byLine, during(ten, half, [...readings.slice(0, 6), ...late, ...readings.slice(6)]))
    expect(refusals(put)).toEqual(['out_of_order', 'out_of_order'])
    expect([put.blocks('PT30M')[0]?.count, put.blocks('PT30M')[0]?.maximum]).toEqual([30, 29])
  })
  test('keyed by arrival, nothing is dropped or sorted, whatever the lines say of their time', () => {
    const readings = s(30).map((line, number) =>
      aLine(line.atMs, { mode: 'S', co: number }, { own: ten - number * minute }),
    )
    const put = outputsOf(aNightStation(), during(ten, half, readings))
    expect([refusals(put), put.blocks('PT30M')[0]?.count]).toEqual([[], 30])
  })
  test('keyed by the line, a line without a time takes no part', () => {
    expect(refusals(outputsOf(byLine, during(ten, half, [aLine(ten, { mode: 'S', co: 1 }, { own: null })])))).toEqual([
      'unreadable_time',
    ])
  })
})

describe('keyed by the line, a line that is nothing but a status and tells no time', () => {
  const station = aNightStation({ stream: { timeFrom: 'line' } })
  const { profile } = station.streams[0] as { profile: Exclude<(typeof station.streams)[number]['profile'], string> }
  profile.status.push({ tokens: { 'POWER FAIL': { fault: 'other' }, 'POWER BACK': { clears: true } } })
  const bare = (atMs: number, text: string) => ({
    ...aLine(atMs, {}),
    bytes: new TextEncoder().encode(`*** ${text} ***`),
  })
  const readings = s(30)
  // It comes behind the line of 10:09, its end behind that of 10:19: the readings from 10:09 to 10:18 were under it.
  const put = outputsOf(
    station,
    during(ten, half, [
      ...readings.slice(0, 10),
      bare(ten + 9.5 * minute, 'POWER FAIL'),
      ...readings.slice(10, 20),
      bare(ten + 19.5 * minute, 'POWER BACK'),
      ...readings.slice(20),
    ]),
  )
  test('is heard: its fault raises the alarm, and stops the readings from the one before it on', () => {
    expect(put.of('alarm').map(({ transition }) => transition.cause)).toContain('other-fault')
    expect([put.blocks('PT30M')[0]?.count, put.blocks('PT30M')[0]?.reasons]).toEqual([20, ['instrument_fault']])
  })
  test('is a line that was read, but no reading', () => {
    expect(refusals(put)).toEqual([])
  })
})

describe('lines sent again after a reconnect', () => {
  const readings = s(30)
  const again = (from: number, to: number, atMs: number) => readings.slice(from, to).map((line) => ({ ...line, atMs }))
  const broken = (repeated: ReturnType<typeof again>) => [
    ...readings.slice(0, 10),
    link(ten + 9 * minute + 1, 'lost'),
    link(ten + 9 * minute + 2, 'open'),
    ...repeated,
    ...readings.slice(10),
  ]
  test.each([
    ['arrival', aNightStation()],
    ['line', byLine],
  ] as const)('are duplicates and count once (time from %s)', (_, station) => {
    const put = outputsOf(station, during(ten, half, broken(again(7, 10, ten + 9 * minute + 3))))
    expect([refusals(put), put.blocks('PT30M')[0]?.count]).toEqual([['duplicate', 'duplicate', 'duplicate'], 30])
  })
  test('without a reconnect an equal line is a reading like any other', () => {
    const put = outputsOf(
      aNightStation(),
      during(ten, half, [...readings.slice(0, 10), ...again(9, 10, ten + 9 * minute + 20_000), ...readings.slice(10)]),
    )
    expect([refusals(put), put.blocks('PT30M')[0]?.count]).toEqual([[], 31])
  })
  test('lines without a time of their own are none: equal values are usual', () => {
    const steady = lines(ten, 30, minute, () => ({ mode: 'S', co: 5 })).map((line) =>
      aLine(line.atMs, { mode: 'S', co: 5 }, { own: null }),
    )
    const profile = {
      form: 'key-value' as const,
      name: 'without a time',
      between: ' ',
      fields: [{ name: 'co', at: 'CO' }],
    }
    const station = aNightStation({ stream: { profile }, phases: { otherwise: 'measure', settle: { seconds: 0 } } })
    const put = outputsOf(
      station,
      during(ten, half, [...steady.slice(0, 10), link(ten + 9 * minute + 2, 'open'), ...steady.slice(10)]),
    )
    expect([refusals(put), put.blocks('PT30M')[0]?.count]).toEqual([[], 30])
  })
  test('the first line that is new ends the comparing', () => {
    const put = outputsOf(
      aNightStation(),
      during(ten, half, [
        ...readings.slice(0, 10),
        link(ten + 9 * minute + 2, 'open'),
        readings[10]!,
        ...again(9, 10, ten + 10 * minute + 5),
        ...readings.slice(11),
      ]),
    )
    expect(refusals(put)).toEqual([])
  })
})

describe('pieces of lines', () => {
  const values = { mode: 'S', co: 7 }
  const put = (piece: 'first' | 'unended', unendedCounts: boolean) =>
    outputsOf(aNightStation(), during(ten, half, [aLine(ten, values, { piece })]), { unendedCounts })
  test('the first piece after a port was opened may be half a line: kept, told, not counted', () => {
    expect([refusals(put('first', false)), put('first', false).blocks('PT30M')[0]?.count]).toEqual([['half_line'], 0])
  })
  test('it is no sign of trouble: however often a port is opened, no alarm of unparsable lines comes of it', () => {
    const causes = (piece: 'first' | 'unended') => {
      const pieces = Array.from({ length: 60 }, (_, second) => aLine(ten + 1000 * second, values, { piece }))
      return outputsOf(aNightStation(), during(ten, half, pieces))
        .of('alarm')
        .map(({ transition }) => transition.cause)
    }
    expect([causes('first').includes('unparsable-lines'), causes('unended').includes('unparsable-lines')]).toEqual([
      false,
      true,
    ])
  })
  test('an unended last piece counts on import only', () => {
    expect([put('unended', false).blocks('PT30M')[0]?.count, put('unended', true).blocks('PT30M')[0]?.count]).toEqual([
      0, 1,
    ])
  })
})

describe('lines outside a run', () => {
  test('enter no average', () => {
    const put = outputsOf(aNightStation(), [
      ...s(10),
      run('start', ten + 10 * minute),
      ...s(10, ten + 10 * minute),
      run('end', ten + 20 * minute),
      ...s(10, ten + 20 * minute),
    ])
    expect(put.blocks('PT30M').map(({ count, countedMs }) => [count, countedMs])).toEqual([[10, 10 * minute]])
  })
  test('keyed by the line too', () => {
    const put = outputsOf(byLine, [
      ...s(10),
      run('start', ten + 10 * minute),
      ...s(10, ten + 10 * minute),
      run('end', ten + 20 * minute),
      ...s(10, ten + 20 * minute),
    ])
    expect(put.blocks('PT30M').map(({ count, countedMs }) => [count, countedMs])).toEqual([[10, 10 * minute]])
  })
})

test('a run that ends after so many counted minutes says when it is due, purges left out', () => {
  const station = aNightStation({ run: { end: { afterCountedMinutes: 10 } } })
  const readings = lines(ten, 30, minute, (number) => ({ mode: number >= 5 && number < 15 ? 'P' : 'S', co: 1 }))
  expect(outputsOf(station, during(ten, half, readings)).of('run-due')).toEqual([
    { kind: 'run-due', atMs: ten + 20 * minute, rule: 'counted-minutes' },
  ])
})

test('lines that lag behind a clock that went from fast to real speed still count', () => {
  const station = aNightStation({ stream: { timeFrom: 'line' }, clock: { speed: 600 } })
  const readings = s(30)
  // At 600 times real speed the clock is ten minutes ahead of the line that just came; then it slows down.
  const slow: Parameters<typeof outputsOf>[1] = [
    run('start', ten),
    ...readings.slice(0, 10),
    { kind: 'clock', change: 'speed', byMs: 0, speed: 1, atMs: ten + 20 * minute, monotonicMs: 0 },
    tick(ten + 20 * minute + 1),
    ...readings.slice(10).map((line, number) => ({ ...line, atMs: ten + 20 * minute + 2 + number })),
    run('end', half),
  ]
  const put = outputsOf(station, slow)
  expect([refusals(put), put.blocks('PT30M')[0]?.count]).toEqual([[], 30])
})
