import { join } from 'node:path'
import Database from 'better-sqlite3'
import { expect, test, vi } from 'vitest'
import { exportRecording } from '../../../server/commands/export.ts'
import { aRecordedRun } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

test('an export of lines that were changed says that the seals are faulty; one of sound lines says nothing', async () => {
  const folder = aFolder()
  const path = join(folder, 'night.flue.sqlite')
  const run = await aRecordedRun(path, aNightStation({ averaging: { blocks: ['PT10M'] } }))
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 60, minute, () => ({ mode: 'S', co: 50 }))) run.take(line)
  run.take(runEvent('end', ten + 60 * minute))
  await run.close()
  const said: string[] = []
  const spies = [
    vi.spyOn(process.stderr, 'write').mockImplementation((text) => said.push(String(text)) > 0),
    vi.spyOn(process.stdout, 'write').mockImplementation(() => true),
  ]
  const exported = (out: string) => exportRecording(path, { format: 'json', out: join(folder, out), decimal: '.' })
  try {
    expect([await exported('sound'), said]).toEqual([0, []])
    const db = new Database(path)
    db.exec(`UPDATE line SET bytes = CAST(replace(bytes, 'CO=50', 'CO=10') AS BLOB) WHERE sequence = 30`)
    db.close()
    expect(await exported('changed')).toBe(0)
  } finally {
    for (const spy of spies) spy.mockRestore()
  }
  expect(said.join('')).toMatch(/its seals are faulty: .*`flueledger verify` says where/)
})
