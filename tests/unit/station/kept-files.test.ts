import { existsSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import Database from 'better-sqlite3'
import { expect, test } from 'vitest'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { copyToSend, removeRecording, takeIn } from '../../../server/station/kept-files.ts'
import { aFolder, aLine, aRunChange, recorded } from '../../support/a-recording.ts'

const aNight = (folder: string, id = 'night'): string => {
  const path = join(folder, `${id}.flue.sqlite`)
  recorded(path, [[aRunChange(0, 'start'), aLine(1), aLine(2)]])
  return path
}
const bring = (folder: string, id: string, path: string) =>
  takeIn(folder, id, Readable.from([readFileSync(path)]), statSync(path).size)

test('a recording goes out as one plain file, is taken in elsewhere, and holds the same lines under the same seals', async () => {
  const [home, elsewhere] = [aFolder(), aFolder()]
  const sent = await copyToSend(aNight(home), 'night')
  expect(await bring(elsewhere, 'night-of-a-colleague', sent.path)).toEqual({ ok: true })
  const content = (path: string) => {
    const reader = openRecording(path)
    const found = { head: reader.extent().head, inputs: [...reader.inputs()] }
    reader.close()
    return found
  }
  expect(content(join(elsewhere, 'night-of-a-colleague.flue.sqlite'))).toEqual(content(join(home, 'night.flue.sqlite')))
  expect(readdirSync(elsewhere)).toEqual(['.brought-along', 'night-of-a-colleague.flue.sqlite'])
  sent.release()
  expect(existsSync(sent.path)).toBe(false)
})

test('nothing is written over: a name that is taken is refused, and what was there stays', async () => {
  const folder = aFolder()
  const path = aNight(folder)
  const before = readFileSync(path)
  expect(await bring(folder, 'night', path)).toEqual({
    ok: false,
    status: 409,
    errors: ['night is taken: there is a recording of this name; give the file another name'],
  })
  expect(readFileSync(path)).toEqual(before)
})

test('a recording with a changed line, half a file and another file are not taken in, and nothing of them stays', async () => {
  const [home, folder] = [aFolder(), aFolder()]
  const forged = aNight(home, 'forged')
  const db = new Database(forged)
  db.exec("UPDATE line SET bytes = CAST('9;9,9;999' AS BLOB) WHERE sequence = 2")
  db.close()
  const half = join(home, 'half')
  writeFileSync(half, readFileSync(aNight(home, 'whole')).subarray(0, 9000))
  const text = join(home, 'text')
  writeFileSync(text, 'O2;CO\n8,1;112\n'.repeat(100))
  const told = await Promise.all([bring(folder, 'a', forged), bring(folder, 'b', half), bring(folder, 'c', text)])
  expect(told.map((outcome) => (outcome.ok ? 'taken in' : outcome.status))).toEqual([400, 400, 400])
  const [first] = told
  expect(first?.ok === false && first.errors[0]).toMatch(/^it was not taken in: changed or reordered/)
  expect(readdirSync(folder)).toEqual([])
})

test('more than half of the free disk is refused before a byte is written', async () => {
  const folder = aFolder()
  const outcome = await takeIn(folder, 'vast', Readable.from([]), 2 ** 60)
  expect(outcome.ok === false && outcome.errors[0]).toMatch(/more than half of what is free/)
  expect(readdirSync(folder)).toEqual([])
})

test('a removed recording takes its log with it and leaves its neighbours', () => {
  const folder = aFolder()
  const path = aNight(folder)
  aNight(folder, 'other')
  for (const end of ['-wal', '-shm']) writeFileSync(path + end, '')
  removeRecording(path)
  expect(readdirSync(folder)).toEqual(['other.flue.sqlite'])
})
