import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { importLogTo } from '../../server/station/import-log.ts'
import { loadStationFile } from '../../server/station/load-station-file.ts'
import { ReplayFeed } from '../../server/station/replay-feed.ts'
import { flueledger, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-replay-'))
const recording = join(folder, 'night.flue.sqlite')
afterAll(() => rmSync(folder, { recursive: true, force: true }))
beforeAll(async () => {
  const log = join(folder, 'night.log')
  const stationFile = join(folder, 'station.json')
  const simulate = ['simulate', '--scenario', 'calm-night', '--to', `file:${log}`]
  await flueledger(...simulate, '--hours', '2', '--speed', 'fastest')
  writeFileSync(stationFile, (await flueledger(...simulate, '--station-file')).out)
  const loaded = loadStationFile(stationFile)
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.faults))
  await importLogTo(log, loaded.station, loaded.text, recording)
})

test('a play that follows a jump goes on from where it jumped to', async () => {
  const feed = await ReplayFeed.open('night', recording)
  const { startMs, endMs } = feed.snapshot().playback ?? { startMs: Number.NaN, endMs: Number.NaN }
  const middle = startMs + (endMs - startMs) / 2
  feed.control({ type: 'seek', atMs: middle })
  feed.control({ type: 'play', speed: 60 })
  await until('it plays on', () => (feed.snapshot().playback?.atMs ?? 0) > middle)
  expect(feed.snapshot().playback?.atMs).toBeLessThan(endMs)
  feed.close()
})

test('a replay that nobody waits for any more does not work its way to the end', async () => {
  const whole = await ReplayFeed.open('night', recording)
  whole.close()
  const inAll = whole.snapshot().run.countedMs
  for (const isLate of [false, true]) {
    const viewer = new AbortController()
    if (!isLate) viewer.abort()
    const opening = ReplayFeed.open('night', recording, viewer.signal)
    viewer.abort()
    expect((await opening).snapshot().run.countedMs).toBeLessThan(isLate ? inAll : 1)
  }
})
