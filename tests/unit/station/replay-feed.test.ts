import { join } from 'node:path'
import { expect, test } from 'vitest'
import { ReplayFeed } from '../../../server/station/replay-feed.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, excluding, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

const hour = 60 * minute
const day = 24 * hour

/** A run of half an hour before and after the station was down for so long. Returns its file. */
async function aRunWithAPause(pauseMs: number): Promise<string> {
  const path = join(aFolder(), 'night.flue.sqlite')
  const station = aNightStation({ averaging: { blocks: ['PT30M'], rolling: ['PT10M'] } })
  const run = await aRecordedRun(path, station)
  const again = ten + 30 * minute + pauseMs
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 360, 5000, () => ({ mode: 'S', co: 50 }))) run.take(line)
  run.take(runEvent('suspend', ten + 30 * minute))
  run.take(runEvent('resume', again))
  for (const line of lines(again, 360, 5000, () => ({ mode: 'S', co: 60 }))) run.take(line)
  run.take(runEvent('end', again + 30 * minute))
  await run.close()
  return path
}

test('an instant at which nothing came shows what had fallen due by then', async () => {
  const feed = await ReplayFeed.open('night', await aRunWithAPause(10 * hour))
  const newestEndMs = (): number => Math.max(...feed.snapshot().recentBlocks.map(({ endMs }) => endMs))
  const atMs = ten + 5 * hour + 20 * minute
  await feed.seek(atMs)
  expect([feed.snapshot().playback?.atMs, newestEndMs()]).toEqual([atMs, ten + 5 * hour])
  await feed.seek(ten + 15 * minute)
  expect(feed.snapshot().recentBlocks).toEqual([])
  // Played over the same stretch, rows come as their time comes.
  await feed.seek(ten + 5 * hour + 29 * minute)
  const told: number[] = []
  const heard = new Promise<void>((resolve) => {
    feed.follow((increment) => {
      if (increment.type === 'block') told.push(increment.row.endMs)
      if (told.some((endMs) => endMs >= ten + 6 * hour)) resolve()
    })
  })
  feed.control({ type: 'play', speed: 3600 })
  await heard
  feed.close()
  expect(Math.min(...told)).toBe(ten + 5.5 * hour)
})

test('the hours before an amendment that was told when all was over did not pass', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const station = aNightStation({ averaging: { blocks: ['PT30M'] } })
  const run = await aRecordedRun(path, station)
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 420, 5000, () => ({ mode: 'S', co: 50 }))) run.take(line)
  run.take(excluding(ten + 5 * hour, ten, ten + minute))
  await run.close()
  const feed = await ReplayFeed.open('night', path)
  for (const atMs of [ten + 4 * hour, ten + 5 * hour]) {
    await feed.seek(atMs)
    expect(new Set(feed.snapshot().recentBlocks.map(({ endMs }) => endMs))).toEqual(new Set([ten + 30 * minute]))
  }
  feed.close()
})

test('a pause of weeks is gone over in turns: whoever records beside it waits for none of them long', async () => {
  const path = await aRunWithAPause(20 * day)
  let turns = 0
  let isOpen = false
  const count = (): void => {
    turns++
    if (!isOpen) setImmediate(count)
  }
  setImmediate(count)
  const feed = await ReplayFeed.open('night', path)
  isOpen = true
  expect(feed.snapshot().run.countedMs).toBeGreaterThan(0)
  feed.close()
  // Four hours in a turn, or five.
  expect(turns).toBeGreaterThan((20 * 24) / 5)
})
