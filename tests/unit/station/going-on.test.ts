import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { stationClock } from '../../../server/clock.ts'
import type { StationFile } from '../../../server/engine/settings/station-file.ts'
import type { RecordingWriter } from '../../../server/recording/recording.ts'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { resumeRecording } from '../../../server/recording/recording-writer.ts'
import { Station } from '../../../server/station/station.ts'
import { verifyRecording } from '../../../server/station/verify-recording.ts'
import { aRecordedRun, aRunWrittenBy } from '../../support/a-recorded-run.ts'
import { aFolder } from '../../support/a-recording.ts'
import { aWriterBut } from '../../support/a-writer.ts'
import { until } from '../../support/built-command.ts'
import { aLine, aNightStation, excluding, lines, minute, run as runEvent, ten } from '../../support/engine-night.ts'

const station = aNightStation({ averaging: { blocks: ['PT1M', 'PT30M'], rolling: ['PT10M'] } })
const stepMs = 5000
const manyRows = aNightStation({
  averaging: { blocks: ['PT1M'], rolling: ['PT10M', 'PT20M', 'PT30M', 'PT1H', 'PT2H'] },
})

/** A run that was suspended after so many lines. Returns when. */
async function aSuspendedRun(path: string, count: number, settings = station, everyMs = stepMs): Promise<number> {
  const run = await aRecordedRun(path, settings)
  run.take(runEvent('start', ten))
  for (const line of lines(ten, count, everyMs, (number) => ({ mode: 'S', co: 50 + (number % 7) }))) run.take(line)
  const endMs = ten + count * everyMs
  run.take(runEvent('suspend', endMs))
  await run.close()
  return endMs
}

/** A writer that keeps account of how many derived rows were given to it and not stored yet, at most since it was asked last. */
function counting(writer: RecordingWriter): { writer: RecordingWriter; mostAhead: () => number; given: () => number } {
  let given = 0
  let stored = 0
  let most = 0
  const counted = aWriterBut(writer, {
    derive(rows) {
      given += rows.length
      most = Math.max(most, given - stored)
      writer.derive(rows)
    },
    async flush() {
      const upTo = given
      await writer.flush()
      stored = upTo
    },
  })
  const mostAhead = (): number => {
    const was = most
    most = 0
    return was
  }
  return { writer: counted, mostAhead, given: () => given }
}

const blocksOf = (path: string): readonly unknown[] => {
  const reader = openRecording(path)
  const rows = reader.blocks()
  reader.close()
  return rows
}

test('lines that come while a run is gone over are recorded at once, take part in their turn, and nothing differs from a run that never stopped', async () => {
  const folder = aFolder()
  const path = join(folder, 'night.flue.sqlite')
  const endMs = await aSuspendedRun(path, 6000)
  const writer = await resumeRecording(path)
  const reader = openRecording(path)
  const before = reader.extent().lines
  const run = aRunWrittenBy(writer, station)
  // The engine is slow on its way until the lines are stored: on a busy machine it would arrive before the disk has answered.
  const clock = new Int32Array(new SharedArrayBuffer(4))
  let isStored = false
  const { goneOver } = await run.goOn(reader, () => void Atomics.wait(clock, 0, 0, isStored ? 0 : 10))
  run.take(runEvent('resume', endMs))
  const later = lines(endMs, 720, stepMs, () => ({ mode: 'S', co: 90 }))
  for (const line of later.slice(0, 400)) expect(run.take(line).outputs).toEqual([])
  await writer.flush()
  isStored = true
  // On the disk before the engine has come near them: a power cut loses none of them.
  expect(reader.extent().lines - before).toBe(400)
  expect([reader.isDerivedInPart(), run.countedMs < 3_600_000]).toEqual([true, true])
  for (const line of later.slice(400, 500)) {
    run.take(line)
    await new Promise((resolve) => setImmediate(resolve))
  }
  expect(await goneOver).toBe(true)
  for (const line of later.slice(500)) run.take(line)
  run.take(runEvent('end', endMs + 720 * stepMs))
  reader.close()
  await run.close()
  expect(verifyRecording(path)).toMatchObject({ ok: true })

  const whole = join(folder, 'whole.flue.sqlite')
  const unbroken = await aRecordedRun(whole, station)
  unbroken.take(runEvent('start', ten))
  for (const line of lines(ten, 6000, stepMs, (number) => ({ mode: 'S', co: 50 + (number % 7) }))) unbroken.take(line)
  for (const line of later) unbroken.take(line)
  unbroken.take(runEvent('end', endMs + 720 * stepMs))
  await unbroken.close()
  expect(blocksOf(path)).toEqual(blocksOf(whole))
})

test('what a run that goes on gives anew, and what an amendment changes in it, waits for the disk: no more of it is in memory after twice as long a run', async () => {
  // Some 4000 rows may be ahead of those that are on their way to the disk, and a turn brings some hundreds.
  const mostInMemory = 12_000
  for (const count of [1000, 2000]) {
    const path = join(aFolder(), 'night.flue.sqlite')
    const endMs = await aSuspendedRun(path, count, manyRows, minute)
    const { writer, mostAhead, given } = counting(await resumeRecording(path))
    const reader = openRecording(path)
    const run = aRunWrittenBy(writer, manyRows, { now: () => endMs })
    expect(await (await run.goOn(reader)).goneOver).toBe(true)
    reader.close()
    const [anew, aheadAnew] = [given(), mostAhead()]
    run.take(excluding(endMs, ten, endMs - 30 * minute))
    await run.readableAsAmended()
    const [amended, aheadAmended] = [given() - anew, mostAhead()]
    await run.close()
    expect(verifyRecording(path)).toMatchObject({ ok: true })
    expect(Math.min(aheadAnew, aheadAmended)).toBeGreaterThan(0)
    expect(Math.max(aheadAnew, aheadAmended)).toBeLessThan(mostInMemory)
    if (count === 2000) expect(Math.min(anew, amended)).toBeGreaterThan(2 * mostInMemory)
  }
})

test('a going over that is stopped leaves every line, says what is missing, and the next start forms it', async () => {
  const path = join(aFolder(), 'night.flue.sqlite')
  const endMs = await aSuspendedRun(path, 6000)
  const goOn = async (atMs: number, stopAfter: number): Promise<boolean> => {
    const reader = openRecording(path)
    const run = aRunWrittenBy(await resumeRecording(path), station)
    const { goneOver } = await run.goOn(reader, (done) => {
      if (done >= stopAfter) run.stopGoingOver()
    })
    run.take(runEvent('resume', atMs))
    run.take(aLine(atMs + 1000, { mode: 'S', co: 60 }))
    const isWhole = await goneOver
    run.take(runEvent('suspend', atMs + 2000))
    reader.close()
    await run.close()
    return isWhole
  }
  const stopped = await goOn(endMs, 3000)
  expect(stopped).toBe(false)
  const half = verifyRecording(path)
  expect([half.seals.ok, half.recomputation.ok]).toEqual([true, false])
  expect(half.recomputation.notes).toContainEqual(expect.stringMatching(/stopped while it formed the averages anew/))

  expect(await goOn(endMs + minute, Number.POSITIVE_INFINITY)).toBe(true)
  expect(verifyRecording(path)).toMatchObject({ ok: true })
})

const stationAt = (folder: string, settings: StationFile, startMs: number): Station =>
  new Station({ station: settings, folder, clock: stationClock({ startMs }), invented: true, log: () => {} })

test('a run whose end came while the station was down is ended at the next start', async () => {
  const folder = aFolder()
  const settings = aNightStation({ run: { end: { afterMinutes: 30 } } })
  const first = stationAt(folder, settings, ten)
  await first.start()
  expect(first.run.standby).toBe(false)
  await first.stop()

  const second = stationAt(folder, settings, ten + 60 * minute)
  await second.start()
  await until('the run is over', () => second.run.standby)
  await second.stop()
  const [file = ''] = readdirSync(folder).filter((name) => name.endsWith('.sqlite') && !name.includes('standby'))
  const reader = openRecording(join(folder, file))
  expect(reader.runState()).toBe('ended')
  expect(reader.runAndClockChanges().at(-1)).toMatchObject({ kind: 'run', change: 'end', reason: 'end-rule' })
  reader.close()
  expect(verifyRecording(join(folder, file))).toMatchObject({ ok: true })
})

test('a run that goes on under a clock of another speed says so before its lines', async () => {
  const folder = aFolder()
  const settings = aNightStation()
  const first = stationAt(folder, settings, ten)
  await first.start()
  first.speedChanged(600)
  await first.stop()
  const second = stationAt(folder, settings, ten + minute)
  await second.start()
  await second.stop()
  const [file = ''] = readdirSync(folder)
  const reader = openRecording(join(folder, file))
  const told = reader
    .runAndClockChanges()
    .map((event) => (event.kind === 'clock' ? event.speed : event.kind === 'run' ? event.change : ''))
  reader.close()
  expect(told).toEqual(['start', 600, 'suspend', 'resume', 1, 'suspend'])
})
