import { engineVersion } from '../../engine/engine-version.ts'
import type { EngineEvent, OperatorAction, OperatorEvent } from '../../engine/events.ts'
import { amendmentsOf } from '../../engine/told-amendments.ts'
import type { Derived } from '../../recording/recording.ts'
import { openRecording } from '../../recording/recording-reader.ts'
import { resumeRecording } from '../../recording/recording-writer.ts'
import { formedAnew, storeInTurn } from './formed-anew.ts'
import { restateAverages } from './restate-averages.ts'
import { amending, mayEndAverages, RowChanges } from './row-changes.ts'
import { StoredAverages } from './stored-averages.ts'

export interface AmendOrder {
  readonly by: string
  /** Wall clock of the telling, ms. */
  readonly nowMs: number
  readonly action: OperatorAction
}

/**
 * Amends a recording on which nobody writes: what changes is worked out first, then the amendment is appended and sealed like
 * any input, then the averages that it changes are stored and the old ones noted. Where another version of the engine made the
 * recording, what this one forms otherwise is stored first, as its doing and nobody else's. Returns how many averages the
 * amendment changed. Only for who holds the data folder.
 */
export async function amendRecording(path: string, order: AmendOrder): Promise<{ changed: number }> {
  await restateAverages(path, order.nowMs)
  const { told, derived, changed } = workedOut(path, order)
  await write(path, told, derived)
  return { changed }
}

/** What an amendment becomes in the recording. The reader is closed again: beside one no writer leaves a single file behind. */
function workedOut(
  path: string,
  { by, nowMs, action }: AmendOrder,
): { readonly told: OperatorEvent; readonly derived: readonly Derived[]; readonly changed: number } {
  const reader = openRecording(path)
  try {
    const inputs = reader.changes()
    const lastMs = Math.max(reader.extent().lastMs ?? nowMs, inputs.at(-1)?.atMs ?? nowMs)
    // A run at speed may have ended in the future of the wall clock; in a recording time never goes back.
    const told: OperatorEvent = {
      kind: 'operator',
      by,
      action,
      atMs: Math.max(Math.round(nowMs), lastMs),
      monotonicMs: 0,
    }
    // An amendment before it may have been stopped half-way: then averages that it ends stand there still.
    const cause = { ...amending([told]), mayEndAverages: [...inputs, told].some(tellsOfCheck) }
    const changes = new RowChanges(new StoredAverages(reader), cause, reader.header.engineVersion === engineVersion)
    const derived = [...formedAnew(reader, amendmentsOf([...inputs, told]), changes)].flat()
    return { told, derived, changed: changes.changed }
  } finally {
    reader.close()
  }
}

const tellsOfCheck = (event: EngineEvent): boolean => event.kind === 'operator' && mayEndAverages(event)

async function write(path: string, told: OperatorEvent, derived: readonly Derived[]): Promise<void> {
  const writer = await resumeRecording(path)
  try {
    writer.append(told)
    await storeInTurn(writer, [derived])
    await writer.flush()
  } finally {
    await writer.close()
  }
}
