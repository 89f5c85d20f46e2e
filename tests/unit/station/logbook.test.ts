import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { eventEntry } from '../../../server/station/logbook.ts'
import { aFolder, aHeader, eveningMs } from '../../support/a-recording.ts'

const stamp = { kind: 'operator', by: 'A. Tester', atMs: eveningMs + 9000, monotonicMs: 9000 } as const
const wrong = { ...stamp, action: { do: 'note', text: 'load 80 %', pressedMs: eveningMs } } as const

test('a correction is recorded as an entry of its own that names the one it corrects', async () => {
  const original = eventEntry(wrong)
  const corrects = original?.id ?? ''
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  writer.append(wrong)
  writer.append({ ...stamp, action: { do: 'note', text: 'load 85 %', pressedMs: eveningMs + 8000, corrects } })
  await writer.close()

  const recording = openRecording(path)
  const entries = [...recording.inputs()].map(eventEntry)
  recording.close()

  expect(entries).toEqual([
    expect.objectContaining({ kind: 'note', text: 'load 80 %', id: corrects }),
    expect.objectContaining({ kind: 'note', text: 'load 85 %', corrects, savedMs: stamp.atMs }),
  ])
  expect(entries[0]).not.toHaveProperty('corrects')
})
