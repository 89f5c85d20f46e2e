import { copyFileSync, existsSync, mkdirSync, readdirSync, truncateSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { backupRecording } from '../../../server/recording/backup.ts'
import { lockDataFolder } from '../../../server/recording/data-folder-lock.ts'
import { newRecordingPath, recordingFileName } from '../../../server/recording/file-name.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { recordingsIn } from '../../../server/recording/recordings-in.ts'
import { verifySeals } from '../../../server/recording/verify.ts'
import { aFolder, aHeader, aLine, aRunChange, eveningMs, recorded } from '../../support/a-recording.ts'

test('a data folder has one recorder; who comes second hears who the first is', () => {
  const folder = join(aFolder(), 'made', 'with it')
  const lock = lockDataFolder(folder, eveningMs)
  expect(() => lockDataFolder(folder, eveningMs)).toThrow(
    expect.objectContaining({
      code: 'data-folder-in-use',
      holder: { pid: process.pid, since: '2026-11-25T21:00:00.000Z' },
    }),
  )
  expect(() => lockDataFolder(folder, eveningMs)).toThrow(
    `in use by process ${process.pid}, since 2026-11-25T21:00:00.000Z`,
  )
  lock.release()
  lock.release()
  lockDataFolder(folder, eveningMs).release()
  expect(readdirSync(folder)).toEqual(['recorder.lock'])
})

test('a data folder that cannot be one says why', () => {
  const file = join(aFolder(), 'file')
  writeFileSync(file, '')
  expect(() => lockDataFolder(file, eveningMs)).toThrow(
    expect.objectContaining({
      code: 'data-folder-unusable',
      message: expect.stringContaining('it is a file; give a folder'),
    }),
  )
})

test.each([
  { runName: 'Night run 3', standby: false, name: '20261125T210000Z-night-run-3.flue.sqlite' },
  { runName: 'Kessel süd / ../../etc', standby: false, name: '20261125T210000Z-kessel-sud-etc.flue.sqlite' },
  { runName: '夜', standby: false, name: '20261125T210000Z-run.flue.sqlite' },
  { runName: '', standby: true, name: 'standby-20261125T210000Z.flue.sqlite' },
])('the recording of "$runName" is called $name', ({ runName, standby, name }) => {
  expect(recordingFileName({ runName, standby, madeMs: eveningMs })).toBe(name)
})

test('what begins in the same second under the same name gets a number, and nothing is written over', () => {
  const folder = aFolder()
  const standby = { runName: 'standby', standby: true, madeMs: eveningMs }
  const made = Array.from({ length: 3 }, () => {
    const path = newRecordingPath(folder, standby)
    recorded(path, [[aRunChange(0, 'start')]])
    return path.slice(folder.length + 1)
  })
  expect(made).toEqual([
    'standby-20261125T210000Z.flue.sqlite',
    'standby-20261125T210000Z-2.flue.sqlite',
    'standby-20261125T210000Z-3.flue.sqlite',
  ])
})

test('a folder is listed with its damaged files and why they are', () => {
  const folder = aFolder()
  const good = join(folder, '1.flue.sqlite')
  recorded(good, [[aRunChange(0, 'start'), aLine(1)], [aRunChange(2, 'suspend')]])
  writeFileSync(join(folder, '2.flue.sqlite'), 'no database at all, but long enough to be looked into as one')
  writeFileSync(join(folder, '3.flue.sqlite'), '')
  copyFileSync(good, join(folder, '4.flue.sqlite'))
  truncateSync(join(folder, '4.flue.sqlite'), 8192)
  mkdirSync(join(folder, '5.flue.sqlite'))
  writeFileSync(join(folder, 'notes.txt'), '')
  const found = recordingsIn(folder)
  expect(found.map((each) => [each.file[0], each.readable ? 'readable' : each.code])).toEqual([
    ['1', 'readable'],
    ['2', 'not-a-recording'],
    ['3', 'recording-damaged'],
    ['4', 'recording-damaged'],
    ['5', 'not-a-recording'],
  ])
  expect(found[0]).toMatchObject({
    runState: 'suspended',
    wasKilled: false,
    extent: { lines: 1, events: 2, lastMs: eveningMs + 2000 },
    header: { runName: 'Night run' },
  })
  expect(recordingsIn(join(folder, 'none'))).toEqual([])
})

test('a copy of a running recording is one plain file that holds all that was stored, and verifies', async () => {
  const folder = aFolder()
  const path = join(folder, 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  for (let n = 1; n <= 500; n += 1) writer.append(aLine(n))
  await writer.flush()
  const copy = join(folder, 'copy.flue.sqlite')
  await backupRecording(path, copy)
  const { head } = writer.storedUpTo()
  await writer.close()
  expect(readdirSync(folder).sort()).toEqual(['a.flue.sqlite', 'copy.flue.sqlite'])
  expect(verifySeals(copy, { expectedHead: head ?? '' })).toMatchObject({
    seals: { ok: true, head },
    order: { ok: true },
    file: { ok: true },
  })
  const recording = openRecording(copy)
  expect([recording.extent().lines, recording.wasKilled()]).toEqual([500, false])
  recording.close()
  await expect(backupRecording(path, copy)).rejects.toMatchObject({ code: 'recording-exists' })
  await expect(backupRecording(join(folder, 'none'), join(folder, 'b'))).rejects.toMatchObject({
    code: 'recording-missing',
  })
  expect(existsSync(join(folder, 'b'))).toBe(false)
})
