import { get } from 'node:http'
import { setTimeout as pause } from 'node:timers/promises'
import { afterEach, expect, test } from 'vitest'
import type { AverageRow } from '../../../protocols/words/blocks.ts'
import { anAverage } from '../../support/an-average.ts'
import { until } from '../../support/built-command.ts'
import { httpStation } from '../../support/http-station.ts'

let station: Awaited<ReturnType<typeof httpStation>> | null = null
afterEach(async () => {
  await station?.close()
  station = null
})

/** Averages that are made as they are gone through. */
function* averages(most: number, seen: { made: number; isOver: boolean }): Generator<AverageRow> {
  try {
    for (; seen.made < most; seen.made++)
      yield anAverage({ startMs: seen.made * 60_000, endMs: (seen.made + 1) * 60_000 })
  } finally {
    seen.isOver = true
  }
}
const served = (rows: () => Iterable<AverageRow>) => httpStation({ blocks: () => Promise.resolve(rows()) })

test.each([0, 1, 249, 250, 251, 500, 1234])('%i averages arrive whole and in order', async (most) => {
  station = await served(() => averages(most, { made: 0, isOver: false }))
  const { status, text } = await station.ask('/api/recordings/current/blocks')
  const { rows } = JSON.parse(text) as { rows: AverageRow[] }
  expect([status, rows.map(({ startMs }) => startMs)]).toEqual([
    200,
    Array.from({ length: most }, (_, at) => at * 60_000),
  ])
})

test('a hundred thousand averages let all else have its turn', async () => {
  const seen = { made: 0, isOver: false }
  station = await served(() => averages(100_000, seen))
  let turns = 0
  const ticking = setInterval(() => {
    if (seen.made > 0 && !seen.isOver) turns++
  }, 1)
  await station.ask('/api/recordings/current/blocks')
  clearInterval(ticking)
  expect(seen).toEqual({ made: 100_000, isOver: true })
  expect(turns).toBeGreaterThan(20)
})

test('where whoever asked leaves, no more are made and nothing stays open', async () => {
  const seen = { made: 0, isOver: false }
  station = await served(() => averages(1_000_000, seen))
  const asked = get(`http://${station.host}/api/recordings/current/blocks`, (response) =>
    response.once('data', () => asked.destroy()),
  )
  asked.on('error', () => {}) // Cut off on purpose.
  await until('the averages are let go', () => seen.isOver)
  const { made } = seen
  await pause(50)
  expect(made).toBeLessThan(1_000_000)
  expect(seen.made).toBe(made)
})

test('what cannot be read at all is an error, not half an answer', async () => {
  station = await served(() => ({
    [Symbol.iterator]: () => {
      throw new Error('the file is gone')
    },
  }))
  expect((await station.ask('/api/recordings/current/blocks')).status).toBe(500)
})
