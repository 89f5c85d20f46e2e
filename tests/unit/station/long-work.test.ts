import { join } from 'node:path'
import { expect, test } from 'vitest'
import { longWork } from '../../../server/station/long-work.ts'
import { Trouble } from '../../../server/trouble.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

test('work that wants more memory than it is given ends alone, and whoever asked is told', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const run = await aRecordedRun(path, aNightStation(), { now: () => ten })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 10, minute, () => ({ mode: 'S', co: 45 }))) run.take(line)
  await run.close()
  const refused = longWork({ work: 'verify', path }, 8)
  await expect(refused).rejects.toBeInstanceOf(Trouble)
  await expect(refused).rejects.toThrow('verify: takes more than the 8 MiB of memory')
  expect(await longWork({ work: 'verify', path })).toMatchObject({ ok: true })
})
