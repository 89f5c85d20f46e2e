import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { importLogTo } from '../../server/station/import-log.ts'
import { loadStationFile } from '../../server/station/load-station-file.ts'
import { ReplayFeed } from '../../server/station/replay-feed.ts'
import { flueledger, until } from '../support/built-command.ts'

const folder = mkdtempSync(join(tmpdir(), 'flueledger-replay-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('a play that follows a jump goes on from where it jumped to', async () => {
  const log = join(folder, 'night.log')
  const stationFile = join(folder, 'station.json')
  await flueledger('simulate', '--scenario', 'half-hour', '--speed', 'fastest', '--to', `file:${log}`)
  writeFileSync(
    stationFile,
    (await flueledger('simulate', '--scenario', 'half-hour', '--station-file', '--to', `file:${log}`)).out,
  )
  const loaded = loadStationFile(stationFile)
  if (!loaded.ok) throw new Error(JSON.stringify(loaded.faults))
  const recording = join(folder, 'night.flue.sqlite')
  await importLogTo(log, loaded.station, loaded.text, recording)
  const feed = await ReplayFeed.open('night', recording)
  const { startMs, endMs } = feed.snapshot().playback ?? { startMs: Number.NaN, endMs: Number.NaN }
  const middle = startMs + (endMs - startMs) / 2
  feed.control({ type: 'seek', atMs: middle })
  feed.control({ type: 'play', speed: 60 })
  await until('it plays on', () => (feed.snapshot().playback?.atMs ?? 0) > middle)
  expect(feed.snapshot().playback?.atMs).toBeLessThan(endMs)
  feed.close()
})
