import { expect, test } from 'vitest'
import { logArrivals } from '../../../server/station/log-arrivals.ts'
import { aLine, aNightStation, clockTime, during, minute, outputsOf, ten } from '../../support/engine-night.ts'

const hour = 60 * minute
const day = 24 * hour
const station = aNightStation({ averaging: { blocks: ['PT10M'] }, stream: { timeFrom: 'line' } })

/** A line each minute from each of these times on, as the lines tell it; the station hears them one after the other. */
function put(owns: readonly number[]) {
  const lines = owns.map((own, number) => aLine(ten + number * minute, { mode: 'S', co: 50 }, { own }))
  const outputs = outputsOf(station, during(ten, ten + owns.length * minute, lines))
  return {
    refused: outputs.of('refused').map(({ reason, detail }) => [reason, detail] as const),
    counts: outputs.blocks('PT10M', 'co', 'as_read').map(({ startMs, count }) => [clockTime(startMs), count] as const),
  }
}
const minutesFrom = (startMs: number, count: number) => Array.from({ length: count }, (_, at) => startMs + at * minute)

test('one line with a wrong year takes no part and carries nothing away', () => {
  const owns = minutesFrom(ten, 20)
  const sixtyYears = Date.UTC(2086, 0, 15, 10) - Date.UTC(2026, 0, 15, 10)
  for (const ahead of [sixtyYears, 20 * day, 10 * hour]) {
    const { refused, counts } = put(owns.map((own, at) => (at === 5 ? own + ahead : own)))
    expect(refused.map(([reason]) => reason)).toEqual(['time_ahead'])
    expect(counts).toEqual([
      ['10:00:00', 9],
      ['10:10:00', 10],
    ])
  }
})

test('lines that go on after a pause are believed from the second on', () => {
  const { refused, counts } = put([...minutesFrom(ten, 10), ...minutesFrom(ten + 3 * hour, 10)])
  expect(refused).toEqual([
    ['time_ahead', expect.stringMatching(/3 h ahead of the line before: .*unless the next line/)],
  ])
  expect(counts[0]).toEqual(['10:00:00', 10])
  expect(counts.at(-1)).toEqual(['13:00:00', 9])
  expect(put([...minutesFrom(ten, 10), ...minutesFrom(ten + hour, 10)]).refused).toEqual([])
})

test('lines that come every few hours are no steps ahead', () => {
  const seldom = aNightStation({
    averaging: { blocks: ['PT12H'] },
    stream: { timeFrom: 'line', expectEverySeconds: 7200 },
  })
  const lines = Array.from({ length: 6 }, (_, at) =>
    aLine(ten + at * minute, { mode: 'S', co: 50 }, { own: ten + at * 2 * hour }),
  )
  const outputs = outputsOf(seldom, during(ten, ten + 6 * minute, lines))
  expect(outputs.of('refused')).toEqual([])
})

test('a step of more than a month is not taken within a run, however many lines go on from it', () => {
  const { refused, counts } = put([...minutesFrom(ten, 10), ...minutesFrom(ten + 40 * day, 5)])
  expect(refused).toHaveLength(5)
  expect(refused[0]?.[1]).toMatch(/start a new run/)
  expect(counts).toHaveLength(1)
})

test('a line of a log whose time is far ahead arrives with the one before, unless the next goes on from it', () => {
  const arrivalsOf = (owns: readonly number[]) => {
    const arrivalOf = logArrivals(station)
    const arrivals: number[] = []
    for (const own of owns)
      arrivals.push(arrivalOf(aLine(0, { mode: 'S', co: 50 }, { own }).bytes, arrivals.at(-1) ?? Number.NaN))
    return arrivals.map((atMs) => (atMs - ten) / minute)
  }
  expect(arrivalsOf([ten, ten + minute, ten + 900 * day, ten + 2 * minute])).toEqual([0, 1, 1, 2])
  expect(arrivalsOf([ten, ten + 120 * minute, ten + 121 * minute])).toEqual([0, 0, 121])
})
