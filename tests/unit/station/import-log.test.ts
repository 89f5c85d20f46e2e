import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import { importLogTo } from '../../../server/station/import-log.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { exitStatus } from '../../../server/trouble.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aNightStation, lineText, minute, ten } from '../../support/engine-night.ts'

const station = aNightStation({ stream: { timeFrom: 'line' } })
const folder = mkdtempSync(join(tmpdir(), 'import-log-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))
const log = join(folder, 'night.log')
writeFileSync(
  log,
  Array.from({ length: 4000 }, (_, at) => `${lineText(ten + at * minute, { mode: 'S', co: 50 })}\n`).join(''),
)

const imported = (from: string, out: string, halt?: AbortSignal) =>
  importLogTo(from, station, JSON.stringify(station), join(out, 'night.flue.sqlite'), halt ? { halt } : {})

test('a recording appears when it is whole: what cannot be read, is no log or is stopped leaves nothing and bars no second try', async () => {
  const out = aFolder()
  mkdirSync(join(folder, 'a-folder'))
  await expect(imported(join(folder, 'none.log'), out)).rejects.toThrow(/none\.log: cannot be read/)
  await expect(imported(join(folder, 'a-folder'), out)).rejects.toThrow(/is a folder/)
  const halt = new AbortController()
  const stopped = imported(log, out, halt.signal)
  halt.abort()
  await expect(stopped).rejects.toMatchObject({
    status: exitStatus.interrupted,
    message: 'stopped: nothing was imported',
  })
  expect(readdirSync(out)).toEqual([])

  expect(await imported(log, out)).toMatchObject({ lines: 4000, refused: 0 })
  expect(readdirSync(out)).toEqual(['night.flue.sqlite'])
  expect(verifyRecording(join(out, 'night.flue.sqlite'))).toMatchObject({ ok: true })
  await expect(imported(log, out)).rejects.toThrow(/is there already/)
  await expect(imported(join(out, 'night.flue.sqlite'), aFolder())).rejects.toThrow(/is a recording, no text log/)
})

test('a log whose lines tell no date says on which day they count; one with dates, nothing', async () => {
  const saidOf = async (format: string, time: string) => {
    const timed = aNightStation({ stream: { timeFrom: 'line' } })
    const { profile } = timed.streams[0] as { profile: Exclude<(typeof timed.streams)[number]['profile'], string> }
    profile.time = { fields: [0], format, zone: 'UTC' }
    const path = join(aFolder(), 'a.log')
    writeFileSync(path, `${time} MODE=S CO=1\n`)
    const told = await importLogTo(path, timed, JSON.stringify(timed), join(aFolder(), 'a.flue.sqlite'), {})
    return [told.refused, told.ofTimes]
  }
  const undated = 'the lines tell a time of day without a date: days count from 1970-01-01 on'
  expect(await saidOf('HH:mm:ss', '22:00:00')).toEqual([0, undated])
  expect(await saidOf('iso', '2026-11-20T22:00:00')).toEqual([0, null])
})
