import type { Outcome, Refused } from '../http/station-face.ts'
import type { RecordingWriter } from '../recording/recording.ts'
import { errorText } from '../recording/trouble.ts'

/**
 * Takes down what an operator did, and resolves when the disk holds it: who is told that it is done must find it after a
 * power cut too. On a disk that takes nothing it is in force all the same, as an alarm that is acknowledged must be quiet.
 */
export async function takenDown(
  writer: Pick<RecordingWriter, 'flush' | 'storedUpTo'>,
  take: () => void,
): Promise<Outcome> {
  const before = writer.storedUpTo().refused
  take()
  const isKept = writer.storedUpTo().refused === before
  const why = await whyNotStored(writer)
  if (why === null) return { ok: true }
  return notStored(
    isKept
      ? `it is in force, but not stored yet (${why}). It is stored as soon as that is mended, and lost if the station ends before; do not tell it again`
      : `it was not taken down: nothing can be stored (${why}), and no more may wait in memory. Tell it again when that is mended`,
  )
}

/** Resolves to null when the disk holds all that the recording was given so far, to the reason where it does not. */
export const whyNotStored = (writer: Pick<RecordingWriter, 'flush'>): Promise<string | null> =>
  writer.flush().then(() => null, errorText)

/** A run is beginning or ending: what is told now would be taken by the recording that follows. */
export const whileRunChanges: Refused = {
  ok: false,
  status: 409,
  errors: [
    'a run is just beginning or ending, and its averages are being formed: this was not taken down. Tell it again when that is done',
  ],
}

/** The disk does not hold it: the error says what that means for whoever asked. */
export const notStored = (error: string): Refused => ({ ok: false, status: 507, errors: [error] })
