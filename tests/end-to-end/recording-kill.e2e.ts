import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { afterEach, expect, test } from 'vitest'
import { lockDataFolder } from '../../server/recording/data-folder-lock.ts'
import { openRecording } from '../../server/recording/recording-reader.ts'
import { verifySeals } from '../../server/recording/verify.ts'
import { aFolder, eveningMs } from '../support/a-recording.ts'

const recorders: ChildProcess[] = []
afterEach(() => {
  for (const recorder of recorders.splice(0)) recorder.kill('SIGKILL')
})

const startRecorder = (folder: string): ChildProcess => {
  const recorder = spawn(
    process.execPath,
    ['--import', 'tsx', join(import.meta.dirname, '../fixtures/recording/recorder.ts'), folder],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  )
  recorders.push(recorder)
  return recorder
}

/** Lets a recorder run until so many commits were acknowledged, and kills it. Gives the last number that it acknowledged. */
async function killedAfter(folder: string, commits: number): Promise<number> {
  const recorder = startRecorder(folder)
  const exited = once(recorder, 'exit')
  let heard = 0
  let acknowledged = 0
  for await (const line of createInterface({ input: recorder.stdout ?? process.stdin })) {
    acknowledged = Number(line)
    heard += 1
    if (heard === commits) recorder.kill('SIGKILL')
  }
  expect(await exited).toEqual([null, 'SIGKILL'])
  return acknowledged
}

/** Numbers of commits from a fixed seed (numerical recipes' linear congruence): the first are killed right after they opened. */
const moments = Array.from(
  { length: 10 },
  (_, index) => 1 + (((index * 1_664_525 + 1_013_904_223) >>> 7) % 60) * Math.sign(index),
)

test('killed at ten moments in a row, the recorder loses nothing that it acknowledged', async () => {
  const folder = aFolder()
  const path = join(folder, 'run.flue.sqlite')
  let lines = 0
  for (const commits of moments) {
    const acknowledged = await killedAfter(folder, commits)
    const recording = openRecording(path)
    const { lastSequence } = recording.extent()
    expect(lastSequence).toBeGreaterThanOrEqual(acknowledged)
    expect(acknowledged).toBeGreaterThan(lines)
    // Block n rests on line n; the blocks are there, and none without its line.
    const blocks = recording.blocks().map(({ startMs }) => (startMs - eveningMs) / 60_000)
    expect(blocks.length).toBeGreaterThan(0)
    expect(Math.max(...blocks)).toBeLessThanOrEqual(lastSequence)
    expect(recording.wasKilled()).toBe(true)
    recording.close()
    lines = lastSequence
  }
  const { seals, order, file } = verifySeals(path)
  expect([seals.faults, order.faults, file.faults]).toEqual([[], [], []])
})

test('a data folder is refused to a second process and free again after a kill', async () => {
  const folder = aFolder()
  const recorder = startRecorder(folder)
  await once(recorder.stdout ?? process.stdin, 'data')
  expect(() => lockDataFolder(folder, 0)).toThrow(
    expect.objectContaining({ code: 'data-folder-in-use', holder: { pid: recorder.pid, since: expect.any(String) } }),
  )
  recorder.kill('SIGKILL')
  await once(recorder, 'exit')
  lockDataFolder(folder, 0).release()
})
