import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { removeRecording, takeIn } from '../../../server/station/kept-files.ts'
import { Station } from '../../../server/station/station.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, run as runEvent, ten } from '../../support/engine-night.ts'

const day = 24 * 3_600_000
const leftFile = '20261125T100000Z-run.flue.sqlite'

/** A folder with a run that was suspended at ten. */
async function aFolderWithARun(): Promise<string> {
  const folder = aFolder()
  const left = await aRecordedRun(join(folder, leftFile), aNightStation())
  left.take(runEvent('start', ten))
  left.take(runEvent('suspend', ten))
  await left.close()
  return folder
}

/** A station is started so long after that, and stopped. Gives the recordings that are there then, and what it said. */
async function startedAfter(folder: string, ms: number): Promise<{ readonly files: string[]; readonly said: string }> {
  const said: string[] = []
  const clock = stationClock({ startMs: ten + ms })
  const log = (text: string): void => void said.push(text)
  const station = new Station({ station: aNightStation(), folder, clock, invented: true, log })
  await station.start()
  await station.stop()
  return { files: readdirSync(folder).filter((name) => name.endsWith('.flue.sqlite')), said: said.join('\n') }
}

test('a run that was left a month ago is gone on with', async () => {
  const folder = await aFolderWithARun()
  const { files, said } = await startedAfter(folder, 31 * day - 60_000)
  expect(files).toEqual([leftFile])
  expect(said).toContain(`goes on with the run in ${leftFile}`)
})

test('a run that was left decades ago, as by a clock that began at 1970, stays as it is, and another one begins', async () => {
  const folder = await aFolderWithARun()
  const { files, said } = await startedAfter(folder, 56 * 365 * day)
  const reader = openRecording(join(folder, leftFile))
  const { lastMs } = reader.extent()
  reader.close()
  expect(files).toHaveLength(2)
  expect(said).toMatch(/was left at .*, more than 31 days ago: .* not gone on with\. If the clock .* is wrong/)
  expect(lastMs).toBe(ten)
})

test('a run that was going on when a copy of it was brought along is not gone on with: its lines are of another instrument', async () => {
  const [home, elsewhere] = [await aFolderWithARun(), aFolder()]
  const bytes = readFileSync(join(home, leftFile))
  expect(await takeIn(elsewhere, leftFile.replace('.flue.sqlite', ''), Readable.from([bytes]), bytes.length)).toEqual({
    ok: true,
  })
  const { files, said } = await startedAfter(elsewhere, day)
  expect(files).toHaveLength(2)
  expect(said).not.toContain('goes on with')
  expect(readFileSync(join(elsewhere, leftFile))).toEqual(bytes)
  removeRecording(join(elsewhere, leftFile))
  expect(readdirSync(join(elsewhere, '.brought-along'))).toEqual([])
})
