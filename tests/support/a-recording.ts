import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { onTestFinished } from 'vitest'
import { GrowingBatch } from '../../server/recording/batch.ts'
import type { DerivedStep } from '../../server/recording/derived.ts'
import type { Unnumbered } from '../../server/recording/recording.ts'
import { makeRecordingFile } from '../../server/recording/recording-file.ts'
import { aHeader, eveningMs } from './recording-content.ts'

export * from './recording-content.ts'

/** A folder that goes with the test that asks for it. */
export function aFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'recording-'))
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }))
  return folder
}

/** Writes a recording without a thread; each list is one commit, as a live stream makes them. */
export function recorded(
  path: string,
  commits: readonly (readonly Unnumbered[])[],
  derived: readonly DerivedStep[] = [],
  header = aHeader(),
): void {
  const file = makeRecordingFile(path, header, 'test')
  let next = 1
  for (const inputs of commits) {
    const batch = new GrowingBatch(next, 0)
    for (const input of inputs) batch.addInput(input)
    file.store(batch.taken(), eveningMs)
    next += inputs.length
  }
  const last = new GrowingBatch(next, 0)
  for (const step of derived) last.addStep(step)
  file.store(last.taken(), eveningMs)
  file.close()
}
