import { join } from 'node:path'
import { expect, test } from 'vitest'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, excluding, gas, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

test('whoever verifies right after an amendment was told is answered once its averages are stored', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const station = aNightStation({ channels: [gas('co')], averaging: { blocks: ['PT1M', 'PT30M'] } })
  const run = await aRecordedRun(path, station, { now: () => ten + 120 * minute })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 7200, 1000, () => ({ mode: 'S', co: 45 }))) run.take(line)
  run.take(excluding(ten + 120 * minute, ten + 10 * minute, ten + 20 * minute))
  await run.readable()
  expect(verifyRecording(path).recomputation.faults).not.toEqual([])
  await run.readableAsAmended()
  expect(verifyRecording(path).recomputation.faults).toEqual([])
  await run.close()
})
