import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { Station } from '../../../server/station/station.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation } from '../../support/engine-night.ts'

test('a recording of lines outside a run tells since when lines were waited for, before anything else comes', async () => {
  const folder = aFolder()
  const station = new Station({
    station: aNightStation(),
    folder,
    clock: stationClock(),
    invented: true,
    log: () => {},
    waits: true,
  })
  await station.start()
  await station.stop()
  const path = join(folder, readdirSync(folder).find((name) => name.startsWith('standby-')) ?? '')
  const reader = openRecording(path)
  const [first] = reader.inputs()
  reader.close()
  expect(first).toMatchObject({ kind: 'clock', change: 'speed', speed: 1 })
  expect(verifyRecording(path).ok).toBe(true)
})
