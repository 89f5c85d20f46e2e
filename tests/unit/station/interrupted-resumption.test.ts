import { copyFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { LineEvent, RunEvent } from '../../../server/engine/events.ts'
import type { RecordingWriter } from '../../../server/recording/recording.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { resumeRecording } from '../../../server/recording/recording-writer.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun, aRunWrittenBy } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aWriterBut } from '../../support/a-writer.ts'
import { aNightStation, excluding, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

/** Averages are provisional until the next purge: half-way through a resumption many are stored as they do not stay. */
const station = aNightStation({
  corrections: { zero: 'interpolated' },
  averaging: { blocks: ['PT1M', 'PT30M'], rolling: ['PT10M'] },
})
const endMs = ten + 90 * minute

/** Purges at 0, 30 and 60 minutes with zeros that drift; a stretch between them is excluded after the last. */
async function anAmendedNight(path: string): Promise<void> {
  const run = await aRecordedRun(path, station, { now: () => endMs })
  run.take(runEvent('start', ten))
  for (const line of lines(ten, 900, 6000, (number) =>
    number % 300 < 50 ? { mode: 'P', co: 2 + number / 150 } : { mode: 'S', co: 50 },
  ))
    run.take(line)
  run.take(excluding(endMs, ten + 10 * minute, ten + 20 * minute))
  run.take(runEvent('suspend', endMs))
  await run.close()
}

/** Stores no more than so many derived rows of a resumption, as if the station were killed then. */
function stoppingAfter(writer: RecordingWriter, rowsMost: number): { writer: RecordingWriter; rows: () => number } {
  let rows = 0
  const cut = aWriterBut(writer, {
    derive(derived) {
      rows += derived.length
      if (rows <= rowsMost) writer.derive(derived)
    },
    derivedWhole() {
      if (rows <= rowsMost) writer.derivedWhole()
    },
  })
  return { writer: cut, rows: () => rows }
}

/** What the history says that persons changed. */
function changedByPersons(path: string): unknown[] {
  const reader = openRecording(path)
  const changes = [...reader.history()].filter(({ by }) => by !== null)
  reader.close()
  return changes
}

/** Resumes, takes what comes meanwhile, and stops after so many derived rows. Returns how many a whole resumption has. */
async function resumed(
  path: string,
  rowsMost = Number.POSITIVE_INFINITY,
  meanwhile: readonly (LineEvent | RunEvent)[] = [],
): Promise<number> {
  const writer = await resumeRecording(path)
  const { writer: cut, rows } = stoppingAfter(writer, rowsMost)
  const reader = openRecording(path)
  const run = aRunWrittenBy(cut, station)
  const { goneOver } = await run.goOn(reader)
  for (const event of meanwhile) run.take(event)
  await goneOver
  reader.close()
  await writer.close()
  return rows()
}

test('a resumption that is killed half-way leaves no change of averages in the history that never was', async () => {
  const folder = aFolder()
  const whole = join(folder, 'whole.flue.sqlite')
  await anAmendedNight(whole)
  const told = changedByPersons(whole)
  expect(told.length).toBeGreaterThan(20)
  expect(verifyRecording(whole)).toMatchObject({ ok: true })

  const ends = join(folder, 'ends.flue.sqlite')
  copyFileSync(whole, ends)
  const rowsInAll = await resumed(ends)
  expect([changedByPersons(ends), verifyRecording(ends).recomputation.faults]).toEqual([told, []])

  for (const share of [0, 0.3, 0.8]) {
    const path = join(folder, `killed-at-${share}.flue.sqlite`)
    copyFileSync(whole, path)
    await resumed(path, Math.floor(rowsInAll * share))
    const half = verifyRecording(path).recomputation
    expect(half.ok).toBe(false)
    expect(half.notes).toContainEqual(expect.stringMatching(/stopped while it formed the averages anew/))
    await resumed(path)
    expect([share, changedByPersons(path), verifyRecording(path).recomputation.faults]).toEqual([share, told, []])
  }
})

test('a purge that comes while a resumption is killed leaves no change in the history that the amendment did not make', async () => {
  const whole = join(aFolder(), 'whole.flue.sqlite')
  await anAmendedNight(whole)
  const told = changedByPersons(whole)
  const purgeAndOn = lines(endMs + minute, 150, 6000, (number) =>
    number < 50 ? { mode: 'P', co: 12 } : { mode: 'S', co: 50 },
  )
  for (const rowsMost of [0, 500, Number.POSITIVE_INFINITY]) {
    const path = join(aFolder(), 'night.flue.sqlite')
    copyFileSync(whole, path)
    await resumed(path, rowsMost, [runEvent('resume', endMs + minute), ...purgeAndOn])
    await resumed(path)
    expect([rowsMost, changedByPersons(path), verifyRecording(path).recomputation.faults]).toEqual([rowsMost, told, []])
  }
})

test('an average that was amended before the next zero and again after it has a sound history once the run went on', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const run = await aRecordedRun(path, station, { now: () => endMs })
  const night = lines(ten, 900, 6000, (number) =>
    number % 300 < 50 ? { mode: 'P', co: 2 + number / 150 } : { mode: 'S', co: 50 + (number % 7) },
  )
  run.take(runEvent('start', ten))
  for (const line of night) {
    if (line.atMs === ten + 20 * minute) {
      run.take(excluding(line.atMs, ten + 12 * minute, ten + 12 * minute + 10_000))
      await run.readableAsAmended()
    }
    run.take(line)
  }
  run.take(excluding(endMs, ten + 12.5 * minute, ten + 12.5 * minute + 10_000, 'exclusion-2'))
  await run.readableAsAmended()
  run.take(runEvent('suspend', endMs))
  await run.close()
  expect(verifyRecording(path).recomputation.faults).toEqual([])
  await resumed(path)
  expect(verifyRecording(path).recomputation.faults).toEqual([])
  const reader = openRecording(path)
  const ofTheMinute = [...reader.history({ kind: 'block', startMs: ten + 12 * minute })]
    .filter(({ old }) => old.average === 'PT1M' && old.quantity === 'drift_corrected')
    .map(({ by, old, new: is }) => [by, old.state, is?.state])
  reader.close()
  expect(ofTheMinute).toEqual([
    ['A. Tester', 'provisional', 'provisional'],
    ['A. Tester', 'final', 'final'],
    [null, 'provisional', 'final'],
  ])
})
