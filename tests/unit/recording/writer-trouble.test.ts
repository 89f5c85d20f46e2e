import { join } from 'node:path'
import type { Worker } from 'node:worker_threads'
import { expect, test } from 'vitest'
import type { RecordingChange } from '../../../server/recording/recording.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording, resumeRecording } from '../../../server/recording/recording-writer.ts'
import { verifySeals } from '../../../server/recording/verify.ts'
import { aBlock, aFolder, aHeader, aLine } from '../../support/a-recording.ts'
import { startWorker } from '../../support/start-thread.ts'

const told = (changes: readonly RecordingChange[]): string[] =>
  changes.flatMap((change) => (change.kind === 'stored' ? [] : [change.kind === 'trouble' ? change.code : change.kind]))

test('when the thread that stores dies, what was on its way is stored by a new one, each line once', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const threads: Worker[] = []
  const startThread = (): Worker => {
    const thread = startWorker(new URL('../../../server/recording/writer-thread.ts', import.meta.url))
    threads.push(thread)
    return thread
  }
  const writer = await createRecording(path, aHeader(), { startThread })
  const changes: RecordingChange[] = []
  writer.onChange((change) => changes.push(change))
  const recovered = new Promise<void>((resolve) =>
    writer.onChange((change) => change.kind === 'recovered' && resolve()),
  )
  for (let n = 1; n <= 3000; n += 1) writer.append(aLine(n))
  writer.derive([{ table: 'block', row: aBlock(0) }])
  await Promise.resolve()
  await threads[0]?.terminate()
  await recovered
  writer.append(aLine(3001))
  await writer.close()
  expect(threads.length).toBe(2)
  expect(told(changes)).toEqual(['worker-lost', 'recovered'])
  const recording = openRecording(path)
  expect([recording.extent().lines, recording.blocks().length]).toEqual([3001, 1])
  recording.close()
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true }, order: { ok: true } })
})

test('two programs on one recording: the earlier one is told and acknowledges nothing more', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const earlier = await createRecording(path, aHeader())
  const changes: RecordingChange[] = []
  earlier.onChange((change) => changes.push(change))
  const later = await resumeRecording(path)
  earlier.append(aLine(1))
  await expect(earlier.flush()).rejects.toMatchObject({ code: 'recording-taken-over' })
  expect([earlier.append(aLine(2)), earlier.storedUpTo().sequence, earlier.storedUpTo().refused]).toEqual([0, 0, 1])
  await expect(earlier.close()).rejects.toThrow('1 inputs could not be stored')
  later.append(aLine(1))
  await later.close()
  expect(told(changes)).toEqual(['taken-over'])
})
