import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { RecordedEvent } from '../../../server/engine/events.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording, resumeRecording } from '../../../server/recording/recording-writer.ts'
import { verifySeals } from '../../../server/recording/verify.ts'
import { aFolder, aHeader, aLine, aLink, aRunChange, eveningMs, recorded } from '../../support/a-recording.ts'

const inputsOf = (path: string): RecordedEvent[] => {
  const recording = openRecording(path)
  const all = [...recording.inputs()]
  recording.close()
  return all
}

test('lines and events come back in one order, byte for byte, as they were given', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const odd = aLine(3, { bytes: Uint8Array.from([0, 255, 13, 10]), piece: 'continued', stream: 'inlet|ü' })
  const given = [
    aRunChange(0, 'start'),
    aLine(1),
    aLine(2),
    aLink(2),
    odd,
    aLine(4, { bytes: new Uint8Array(0), piece: 'unended' }),
  ]
  const writer = await createRecording(path, aHeader())
  const numbers = given.map((event) => writer.append(event))
  await writer.close()
  expect(numbers).toEqual([1, 2, 3, 4, 5, 6])
  const expected = given.map((event, index) =>
    event.kind === 'line' ? { ...event, bytes: Buffer.from(event.bytes), sequence: index + 1 } : event,
  )
  expect(inputsOf(path)).toEqual(expected)
})

test('a source may use its buffer again at once; an orderly close leaves one plain file', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  const buffer = Buffer.from('8.1\n')
  writer.append(aLine(1, { bytes: buffer }))
  buffer.fill(0)
  await writer.close()
  const [line] = inputsOf(path)
  expect(line?.kind === 'line' && Buffer.from(line.bytes).toString()).toBe('8.1\n')
  expect([existsSync(path), existsSync(`${path}-wal`), existsSync(`${path}-shm`)]).toEqual([true, false, false])
})

test('a resumed recording counts on from what is stored; an existing file is never written over', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [[aLine(1)], [aLink(1)]])
  const writer = await resumeRecording(path)
  expect(writer.storedUpTo()).toMatchObject({ sequence: 2, atMs: eveningMs + 1000, waiting: 0, refused: 0 })
  expect(writer.append(aLine(2))).toBe(3)
  await writer.close()
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true, count: 4 }, order: { ok: true }, file: { ok: true } })
  await expect(createRecording(path, aHeader())).rejects.toMatchObject({ code: 'recording-exists' })
})

test('a recording is read while it is written, and what is stored meanwhile is read too', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  for (let n = 1; n <= 10; n += 1) writer.append(aLine(n))
  await writer.flush()
  const recording = openRecording(path)
  const pages = recording.inputPages({ pageSize: 6 })
  expect(pages.next().value?.length).toBe(6)
  for (let n = 11; n <= 20; n += 1) writer.append(aLine(n))
  await writer.flush()
  expect([...pages].flat().length).toBe(14)
  expect([recording.runState(), recording.wasKilled()]).toEqual(['waiting', true])
  recording.close()
  await writer.close()
})

test('times that are no whole milliseconds are a defect: the recording would give back other ones', async () => {
  const writer = await createRecording(join(aFolder(), 'a.flue.sqlite'), aHeader())
  expect(() => writer.append(aLine(1, { atMs: eveningMs + 0.5 }))).toThrow('whole milliseconds')
  await writer.close()
})

test('a new recording tells its header and settings, and is sealed before its first line', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const header = aHeader()
  recorded(path, [], [], header)
  const recording = openRecording(path)
  expect(recording.header).toEqual(header)
  expect(recording.extent()).toEqual({
    lines: 0,
    events: 0,
    lastSequence: 0,
    firstMs: null,
    lastMs: null,
    head: expect.stringMatching(/^[0-9a-f]{64}$/),
    seals: 1,
  })
  recording.close()
  expect(verifySeals(path)).toMatchObject({ seals: { ok: true, count: 1 }, order: { ok: true }, file: { ok: true } })
})

test.each([
  { changes: [], state: 'waiting' },
  { changes: ['start'], state: 'running' },
  { changes: ['start', 'suspend'], state: 'suspended' },
  { changes: ['start', 'suspend', 'resume'], state: 'running' },
  { changes: ['start', 'suspend', 'resume', 'end'], state: 'ended' },
] as const)('after $changes a run is $state', ({ changes, state }) => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [changes.map((change, n) => aRunChange(n, change))])
  const recording = openRecording(path)
  expect([recording.runState(), recording.wasKilled()]).toEqual([state, false])
  recording.close()
})

test('inputs are found by time, also where the clock was set back at a resumption', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const seconds = (first: number, last: number) =>
    Array.from({ length: last - first + 1 }, (_, index) => aLine(first + index))
  recorded(path, [seconds(1, 10), [aRunChange(5, 'resume')], seconds(6, 12)])
  const recording = openRecording(path)
  const found = [...recording.inputs({ fromMs: eveningMs + 5000, toMs: eveningMs + 8000 })]
  expect(found.map(({ kind, atMs }) => `${kind} ${(atMs - eveningMs) / 1000}`)).toEqual([
    'line 5',
    'line 6',
    'line 7',
    'run 5',
    'line 6',
    'line 7',
  ])
  expect([...recording.inputs({ afterSequence: 7, toMs: eveningMs + 8000 })].length).toBe(3)
  expect([...recording.inputs({ fromMs: eveningMs + 60_000 })]).toEqual([])
  expect(recording.extent()).toMatchObject({
    lines: 17,
    events: 1,
    lastSequence: 18,
    firstMs: eveningMs + 1000,
    lastMs: eveningMs + 12_000,
  })
  recording.close()
})
