import { renameSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { RecordingChange, RecordingWriter } from '../../../server/recording/recording.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { verifySeals } from '../../../server/recording/verify.ts'
import { aFolder, aHeader, aLine } from '../../support/a-recording.ts'

async function written(
  path: string,
): Promise<{ readonly writer: RecordingWriter; readonly changes: RecordingChange[] }> {
  const writer = await createRecording(path, aHeader())
  const changes: RecordingChange[] = []
  writer.onChange((change) => changes.push(change))
  writer.append(aLine(1))
  await writer.flush()
  return { writer, changes }
}
const lines = (path: string): number => {
  const recording = openRecording(path)
  const found = recording.extent().lines
  recording.close()
  return found
}

test('lines of a recording that was renamed under its writer are not called stored until it has its name again', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const { writer, changes } = await written(path)

  renameSync(path, `${path}.moved`)
  writer.append(aLine(2))
  await expect(writer.flush()).rejects.toMatchObject({ code: 'recording-missing' })
  const whileMoved = writer.storedUpTo()
  renameSync(`${path}.moved`, path)
  writer.append(aLine(3))
  await expect.poll(() => writer.storedUpTo().sequence).toBe(3)
  await writer.close()

  expect(whileMoved).toMatchObject({ sequence: 1, waiting: 1 })
  expect(changes.filter(({ kind }) => kind !== 'stored')).toEqual([
    { kind: 'trouble', code: 'io-error', detail: expect.stringMatching(/removed, renamed .* put it back/) },
    { kind: 'recovered' },
  ])
  expect(lines(path)).toBe(3)
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true }, order: { ok: true } })
})

test('lines whose log was removed under the writer are in the recording all the same', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const { writer } = await written(path)

  rmSync(`${path}-wal`)
  writer.append(aLine(2))
  await expect.poll(() => writer.storedUpTo().sequence).toBe(2)
  // As another program, or the next start after a kill, finds them.
  const found = lines(path)
  await writer.close()

  expect(found).toBe(2)
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true }, order: { ok: true } })
})
