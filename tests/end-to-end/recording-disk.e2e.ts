import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import type { RecordingChange, RecordingWriter } from '../../server/recording/recording.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { createRecording } from '../../server/recording/recording-writer.ts'
import { verifySeals } from '../../server/recording/verify.ts'
import { aHeader, aLine, recorded } from '../support/a-recording.ts'
import { aBlock } from '../support/recording-content.ts'
import { SmallDisk } from '../support/small-disk.ts'

let disk: SmallDisk
beforeEach(() => {
  disk = new SmallDisk()
})
afterEach(() => disk.remove())

/** Resolves when the writer has told of this kind of trouble, or of the recovery. */
const heard = (writer: RecordingWriter, what: string): Promise<RecordingChange> =>
  new Promise((resolve) =>
    writer.onChange((change) => (change.kind === 'trouble' ? change.code : change.kind) === what && resolve(change)),
  )

/** Appends so many lines behind the `lines` that were appended; how many there are then. */
function more(writer: RecordingWriter, lines: number, count: number): number {
  for (let n = lines + 1; n <= lines + count; n += 1) writer.append(aLine(n))
  return lines + count
}

/** Appends lines until the disk is full; how many. */
async function fill(writer: RecordingWriter): Promise<number> {
  const isFull = heard(writer, 'disk-full').then(() => true)
  let lines = 0
  while (!(await Promise.race([isFull, new Promise<false>((resolve) => setImmediate(resolve, false))]))) {
    // No more may wait than the disk takes once it has grown, however late it says that it is full.
    if (writer.storedUpTo().waiting < 2000) lines = more(writer, lines, 50)
  }
  return lines
}

test('on a full disk nothing is acknowledged that is not stored; when space returns all lines are there', async () => {
  const path = join(disk.folder, 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  let lines = await fill(writer)
  expect(disk.freeBytes).toBeLessThan(16_384)
  const stuckAt = writer.storedUpTo()
  expect(stuckAt.sequence).toBeLessThan(lines)
  await expect(writer.flush()).rejects.toMatchObject({ code: 'disk-full' })
  lines = more(writer, lines, 100)
  expect(writer.storedUpTo()).toMatchObject({
    sequence: stuckAt.sequence,
    waiting: lines - stuckAt.sequence,
    refused: 0,
  })
  const recovered = heard(writer, 'recovered')
  disk.grow()
  await recovered
  await writer.close()
  const recording = openRecording(path)
  expect(recording.extent().lines).toBe(lines)
  recording.close()
  const { seals, order, file } = verifySeals(path)
  expect([seals.faults, order.faults, file.faults]).toEqual([[], [], []])
})

test('with the disk full and the queue at its limit no more is taken, and that is told and counted', async () => {
  const path = join(disk.folder, 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader(), { queueBytesMost: 200_000 })
  const queueIsFull = heard(writer, 'queue-full')
  let lines = await fill(writer)
  while (writer.append(aLine(lines + 1)) > 0) lines += 1
  expect(await queueIsFull).toMatchObject({ code: 'queue-full' })
  writer.derive([{ table: 'block', row: aBlock(1) }])
  const recovered = heard(writer, 'recovered')
  disk.grow()
  await recovered
  await writer.flush()
  expect(writer.storedUpTo().refused).toBeGreaterThan(0)
  expect(writer.append(aLine(lines + 2))).toBe(writer.storedUpTo().sequence + 1)
  writer.derive([{ table: 'block', row: aBlock(2) }])
  await writer.close()
  // An average was not taken either: the recording does not pass for whole.
  const reader = openRecording(path)
  expect([reader.blocks().length, reader.isDerivedInPart()]).toEqual([1, true])
  reader.close()
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true }, order: { ok: true }, file: { ok: true } })
})

test('closing on a full disk says how many lines could not be stored, and what was stored is sound', async () => {
  const path = join(disk.folder, 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  await fill(writer)
  await expect(writer.close()).rejects.toMatchObject({
    code: 'disk-full',
    message: expect.stringMatching(/^\d+ inputs could not be stored/),
  })
  disk.grow()
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true }, order: { ok: true }, file: { ok: true } })
})

test('a recording that finds no room to be made leaves nothing behind', async () => {
  const first = join(disk.folder, 'a.flue.sqlite')
  const writer = await createRecording(first, aHeader())
  await fill(writer)
  const second = join(disk.folder, 'b.flue.sqlite')
  await expect(createRecording(second, aHeader())).rejects.toMatchObject({ code: 'disk-full' })
  expect(existsSync(second)).toBe(false)
  // Closed at once, it could meet with an attempt from before there was room.
  const recovered = heard(writer, 'recovered')
  disk.grow()
  await recovered
  await writer.close()
})

test('a closed recording is read from a medium that cannot be written', () => {
  const path = join(disk.folder, 'a.flue.sqlite')
  recorded(path, [[aLine(1)]])
  disk.makeReadOnly()
  const recording = openRecording(path)
  expect(recording.extent().lines).toBe(1)
  recording.close()
  expect(verifySeals(path).seals.ok).toBe(true)
})
