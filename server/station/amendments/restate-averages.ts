import { engineVersion } from '../../engine/engine-version.ts'
import { withPassingTime } from '../../engine/passing-time.ts'
import { createEngine } from '../../engine/state.ts'
import { step } from '../../engine/step.ts'
import { amendmentsOf } from '../../engine/told-amendments.ts'
import type { Derived } from '../../recording/recording.ts'
import { openRecording, type RecordingReader } from '../../recording/recording-reader.ts'
import { resumeRecording } from '../../recording/recording-writer.ts'
import { stationFromSettings } from '../recorded-settings.ts'
import { RowChanges } from './row-changes.ts'
import { StoredAverages } from './stored-averages.ts'

/** The writer is waited for after so many rows: a month of them is not held. */
const rowsPerFlush = 5000

/**
 * The averages of a recording that another version of the engine made, as this one forms them: else an amendment would be
 * said to have changed what it does not touch. Nobody else may write on it.
 */
export async function restateAverages(path: string, nowMs: number): Promise<void> {
  const reader = openRecording(path)
  if (reader.header.engineVersion === engineVersion) return reader.close()
  const writer = await resumeRecording(path)
  try {
    let waiting: Derived[] = []
    for (const changes of restated(reader, Math.round(nowMs))) {
      waiting.push(...changes)
      if (waiting.length < rowsPerFlush) continue
      writer.derive(waiting)
      waiting = []
      await writer.flush()
    }
    writer.derive(waiting)
  } finally {
    // First the reader: beside one the log cannot be taken back into the file.
    reader.close()
    await writer.close()
  }
}

function* restated(reader: RecordingReader, atMs: number): Generator<Derived[]> {
  const { settings, origin, engineVersion: madeBy } = reader.header
  const engine = createEngine(stationFromSettings(settings), {
    amendments: amendmentsOf(reader.changes()),
    unendedCounts: origin === 'imported',
  })
  const reason = `version ${engineVersion} forms it otherwise than ${madeBy}, which recorded it`
  const changes = new RowChanges(new StoredAverages(reader), { atMs, by: null, reason, mayEndAverages: true }, false)
  for (const event of withPassingTime(reader.inputs())) yield changes.take(step(engine, event)[1])
  yield changes.rest()
  yield* changes.gone()
}
