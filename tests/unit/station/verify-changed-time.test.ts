import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

test('a line whose time was changed by decades is told at once: nobody waits for the averages of these decades', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const run = await aRecordedRun(path, aNightStation({ averaging: { blocks: ['PT1M'] } }))
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 60, minute, () => ({ mode: 'S', co: 50 }))) run.take(line)
  run.take(runEvent('end', ten + 60 * minute))
  await run.close()
  const db = new Database(path)
  db.exec('UPDATE line SET at_ms = at_ms + 1152921504606 WHERE sequence = 30') // one bit, 36 years
  db.close()
  const found = verifyRecording(path)
  expect([found.seals.ok, found.order.ok, found.recomputation.ok]).toEqual([false, false, false])
  expect(found.order.faults).toContainEqual(expect.stringMatching(/number 31/))
  expect(found.recomputation.faults).toContainEqual(expect.stringMatching(/at 2062-.* follows one at 2026-/))
})
