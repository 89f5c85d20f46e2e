import { describe, expect, test } from 'vitest'
import type { StationFileInput } from '../../../../server/engine/settings/station-file.ts'
import {
  aLine,
  aNightStation,
  clockTime,
  during,
  gas,
  lines,
  minute,
  operator,
  outputsOf,
  run,
  ten,
} from '../../../support/engine-night.ts'

const half = ten + 30 * minute
const channels = [gas('co', { t95Seconds: 30 }), gas('o2', { t95Seconds: 10 })]
const settling = (phases: StationFileInput['phases'] = {}) =>
  aNightStation({ channels, stream: { expectEverySeconds: 10 }, phases: { settle: { timesT95: 2 }, ...phases } })
/** A line each 10 s; the word of each. */
const night = (count: number, mode: (number: number) => string | null) =>
  lines(ten, count, 10_000, (number) => {
    const word = mode(number)
    return word === null ? null : { mode: word, co: 100, o2: 5 }
  })
const counts = (station: ReturnType<typeof aNightStation>, events: Parameters<typeof outputsOf>[1]) => {
  const put = outputsOf(station, events)
  return { co: put.blocks('PT30M', 'co')[0]?.count, o2: put.blocks('PT30M', 'o2')[0]?.count }
}
const spans = (put: ReturnType<typeof outputsOf>) =>
  put
    .of('phase-span')
    .filter(({ endMs }) => endMs !== null)
    .map(({ phase, startMs, endMs }) => `${clockTime(startMs)} ${phase} ${clockTime(endMs ?? 0)}`)

describe('settling after a purge', () => {
  const purged = (number: number) => (number < 6 ? 'S' : number < 12 ? 'P' : 'S') // purge from 10:01 to 10:02
  test('each channel waits its own twice t95', () => {
    // 180 lines in all; not counted: 6 of the purge, then 6 (60 s) of CO and 2 (20 s) of O2.
    expect(counts(settling(), during(ten, half, night(180, purged)))).toEqual({ co: 168, o2: 172 })
  })
  test('per stream: every channel waits as long as the slowest', () => {
    expect(counts(settling({ per: 'stream' }), during(ten, half, night(180, purged)))).toEqual({ co: 168, o2: 168 })
  })
  test('or the seconds that are set', () => {
    expect(counts(settling({ settle: { seconds: 100 } }), during(ten, half, night(180, purged)))).toEqual({
      co: 164,
      o2: 164,
    })
  })
  test('the shown phase is settle until the slowest has waited', () => {
    expect(spans(outputsOf(settling(), during(ten, half, night(180, purged))))).toEqual([
      '10:00:00 measure 10:01:00',
      '10:01:00 purge 10:02:00',
      '10:02:00 settle 10:03:00',
      '10:03:00 measure 10:30:00',
    ])
  })
  test.each(['Z', 'C', 'R', 'F'])('it follows any phase but measure: %s', (word) => {
    expect(
      counts(
        settling(),
        during(
          ten,
          half,
          night(180, (number) => (number >= 6 && number < 12 ? word : 'S')),
        ),
      ),
    ).toEqual({ co: 168, o2: 172 })
  })
  test('a second purge while settling starts the wait anew', () => {
    const twice = (number: number) => (number < 6 ? 'P' : number < 8 ? 'S' : number < 10 ? 'P' : 'S')
    expect(counts(settling(), during(ten, half, night(180, twice)))).toEqual({ co: 180 - 10 - 6, o2: 180 - 10 - 2 })
  })
  test('a purge between two lines, told by the operator, is followed by settling too', () => {
    const station = settling({ from: ['operator', 'status'] })
    const mark = (seconds: number, phase: 'purge' | 'measure') =>
      operator(ten + seconds * 1000, { do: 'mark-phase', stream: 'main', phase })
    const readings = night(180, () => 'S')
    expect(
      counts(
        station,
        during(ten, half, [...readings.slice(0, 7), mark(62, 'purge'), mark(66, 'measure'), ...readings.slice(7)]),
      ),
    ).toEqual({ co: 180 - 6, o2: 180 - 2 })
  })
})

describe('no settling', () => {
  test('at the first stretch of a run', () => {
    expect(
      counts(
        settling(),
        during(
          ten,
          half,
          night(180, () => 'S'),
        ),
      ),
    ).toEqual({ co: 180, o2: 180 })
  })
  test('after a gap', () => {
    expect(
      counts(
        settling(),
        during(
          ten,
          half,
          night(180, (number) => (number >= 30 && number < 60 ? null : 'S')),
        ),
      ),
    ).toEqual({ co: 150, o2: 150 })
  })
  test('at the start of a run that follows another', () => {
    const readings = night(180, (number) => (number < 90 ? 'P' : 'S'))
    const later = ten + 20 * minute
    const put = outputsOf(settling(), [
      run('start', ten),
      ...readings.slice(0, 90),
      run('end', ten + 15 * minute),
      ...readings.slice(90, 120),
      run('start', later),
      ...readings.slice(120),
      run('end', half),
    ])
    expect(put.blocks('PT30M', 'co').map(({ count }) => count)).toEqual([0, 60])
  })
})

describe('who tells the phase', () => {
  test('nobody: unknown, which does not count, unless the station says that it measures', () => {
    const readings = lines(ten, 180, 10_000, () => ({ co: 100, o2: 5 }))
    expect(counts(settling(), during(ten, half, readings)).co).toBe(0)
    expect(counts(settling({ otherwise: 'measure' }), during(ten, half, readings)).co).toBe(180)
  })
  test('the first in the station’s order wins, and the contradiction is told once', () => {
    const station = aNightStation({ phases: { from: ['operator', 'status'], settle: { seconds: 0 } } })
    const readings = lines(ten, 30, minute, () => ({ mode: 'S', co: 100 }))
    const put = outputsOf(
      station,
      during(ten, half, [operator(ten, { do: 'mark-phase', stream: 'main', phase: 'purge' }), ...readings]),
    )
    expect(put.blocks('PT30M')[0]?.count).toBe(0)
    expect(put.of('notice').map(({ code, text }) => [code, text])).toEqual([
      ['phase_conflict', 'operator tells purge, status tells measure'],
    ])
  })
  test('a schedule, counted from local midnight', () => {
    const schedule = [{ phase: 'purge' as const, everyMinutes: 10, offsetMinutes: 5, lengthSeconds: 120 }]
    const station = aNightStation({
      phases: { from: ['schedule'], schedule, otherwise: 'measure', settle: { seconds: 0 } },
    })
    const put = outputsOf(
      station,
      during(
        ten,
        half,
        lines(ten, 30, minute, () => ({ co: 100 })),
      ),
    )
    expect(put.blocks('PT30M')[0]?.count).toBe(24)
    expect(spans(put).filter((span) => span.includes('purge'))).toEqual([
      '10:05:00 purge 10:07:00',
      '10:15:00 purge 10:17:00',
      '10:25:00 purge 10:27:00',
    ])
  })
  test('while a fault that stops the readings is told, the phase is fault, whatever else is told', () => {
    const words = (number: number) => (number >= 10 && number < 20 ? 'S+wet' : 'S')
    const put = outputsOf(
      aNightStation(),
      during(
        ten,
        half,
        lines(ten, 30, minute, (number) => ({ mode: words(number), co: 100 })),
      ),
    )
    expect([put.blocks('PT30M')[0]?.count, put.blocks('PT30M')[0]?.reasons]).toEqual([20, ['instrument_fault']])
    expect(put.of('notice').map(({ code }) => code)).toEqual(['fault_told', 'fault_cleared'])
  })
  describe('a status word that the profile does not know', () => {
    const strange = (word: string) =>
      lines(ten, 30, minute, (number) => ({ mode: number === 3 || number === 4 ? word : 'S', co: 100 }))
    const counted = (phases: StationFileInput['phases'], word = 'X') => {
      const put = outputsOf(aNightStation({ phases }), during(ten, half, strange(word)))
      return [put.blocks('PT30M')[0]?.count, put.of('notice').map(({ code }) => code)]
    }
    test('never passes for measuring, whatever holds where nobody tells; it is told once', () => {
      expect(counted({ settle: { seconds: 0 } })).toEqual([28, ['unknown_status']])
      expect(counted({ settle: { seconds: 0 }, otherwise: 'measure' })).toEqual([28, ['unknown_status']])
    })
    test('beside one that tells the phase it changes nothing', () => {
      expect(counted({ settle: { seconds: 0 } }, 'S+X')).toEqual([30, ['unknown_status']])
    })
    test('leaves the word to who comes after the status, as an operator', () => {
      const measuring = operator(ten + 30_000, { do: 'mark-phase', stream: 'main', phase: 'measure' })
      const station = aNightStation({ phases: { settle: { seconds: 0 } } })
      const [first, ...others] = strange('X')
      const put = outputsOf(station, during(ten, half, [first as (typeof others)[number], measuring, ...others]))
      expect(put.blocks('PT30M')[0]?.count).toBe(30)
    })
  })
})

test('an operator’s mark between two lines holds from its own instant, in the spans too', () => {
  const station = aNightStation({ phases: { from: ['operator', 'status'], settle: { seconds: 0 } } })
  const put = outputsOf(
    station,
    during(ten, ten + 3 * minute, [
      aLine(ten, { mode: 'S', co: 1 }),
      operator(ten + 30_000, { do: 'mark-phase', stream: 'main', phase: 'zero' }),
      aLine(ten + minute, { mode: 'S', co: 1 }),
    ]),
  )
  expect(spans(put)).toEqual(['10:00:00 measure 10:00:30', '10:00:30 zero 10:03:00'])
})
