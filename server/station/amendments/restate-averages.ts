import { engineVersion } from '../../engine/engine-version.ts'
import { amendmentsOf } from '../../engine/told-amendments.ts'
import { openRecording } from '../../recording/recording-reader.ts'
import { resumeRecording } from '../../recording/recording-writer.ts'
import { formedAnew, storeInTurn } from './formed-anew.ts'
import { RowChanges } from './row-changes.ts'
import { StoredAverages } from './stored-averages.ts'

/**
 * The averages of a recording that another version of the engine made, as this one forms them: else an amendment would be
 * said to have changed what it does not touch. Nobody else may write on it.
 */
export async function restateAverages(path: string, nowMs: number): Promise<void> {
  const reader = openRecording(path)
  const { engineVersion: madeBy } = reader.header
  if (madeBy === engineVersion) return reader.close()
  const reason = `version ${engineVersion} forms it otherwise than ${madeBy}, which recorded it`
  const cause = { atMs: Math.round(nowMs), by: null, reason, mayEndAverages: true }
  const writer = await resumeRecording(path)
  try {
    const changes = new RowChanges(new StoredAverages(reader), cause, false)
    await storeInTurn(writer, formedAnew(reader, amendmentsOf(reader.changes()), changes))
  } finally {
    // First the reader: beside one the log cannot be taken back into the file.
    reader.close()
    await writer.close()
  }
}
