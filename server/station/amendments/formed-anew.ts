import type { Amendments } from '../../engine/amendments.ts'
import { withPassingTime } from '../../engine/passing-time.ts'
import { createEngine } from '../../engine/state.ts'
import { step } from '../../engine/step.ts'
import type { Derived, RecordingWriter } from '../../recording/recording.ts'
import type { RecordingReader } from '../../recording/recording-reader.ts'
import { stationFromSettings } from '../recorded-settings.ts'
import type { RowChanges } from './row-changes.ts'

/** The writer is waited for after so many rows: a month of them is not held. */
const rowsPerFlush = 5000

/** A recording through the engine with these amendments; gives what is to be stored of it, a part at a time. */
export function* formedAnew(
  reader: RecordingReader,
  amendments: Amendments,
  changes: RowChanges,
): Generator<readonly Derived[]> {
  const { settings, origin } = reader.header
  const engine = createEngine(stationFromSettings(settings), { amendments, unendedCounts: origin === 'imported' })
  for (const event of withPassingTime(reader.inputs())) yield changes.take(step(engine, event)[1])
  yield changes.rest()
  yield* changes.gone()
}

/** Gives a writer rows no faster than it stores them. */
export async function storeInTurn(
  writer: Pick<RecordingWriter, 'derive' | 'flush'>,
  parts: Iterable<readonly Derived[]>,
): Promise<void> {
  let waiting: Derived[] = []
  for (const part of parts)
    for (const row of part)
      if (waiting.push(row) === rowsPerFlush) {
        writer.derive(waiting)
        waiting = []
        await writer.flush()
      }
  writer.derive(waiting)
}
