import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import { Station } from '../../../server/station/station.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation } from '../../support/engine-night.ts'

test('a station clock that would meet the wall clock while the station stops no longer does: the recording is closing', async () => {
  const folder = aFolder()
  const timer: { due: (() => void) | null } = { due: null }
  const clock = stationClock({
    startMs: Date.now() - 3_600_000,
    after: (_, run) => {
      timer.due = run
      return () => {
        timer.due = null
      }
    },
  })
  const station = new Station({ station: aNightStation(), folder, clock, invented: true, log: () => {} })
  await station.start()
  clock.catchUp(1e9, () => station.speedChanged(1))
  expect(timer.due).not.toBeNull()

  const stopping = station.stop()
  await new Promise((resolve) => setImmediate(resolve))
  timer.due?.()
  await stopping

  const [file = ''] = readdirSync(folder).filter((name) => name.endsWith('.sqlite'))
  expect(verifyRecording(join(folder, file)).ok).toBe(true)
})
