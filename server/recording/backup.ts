import { existsSync } from 'node:fs'
import { startWorker } from '../worker-file.ts'
import { errorText, RecordingTrouble, storageFailure } from './trouble.ts'

/**
 * Copies a recording, also one that is being written, as of one moment into one plain file at `target`, which appears only
 * when it is complete and durable. Copying the file itself would miss what lies in its log. Works in a thread of its own.
 * Rejects with a `RecordingTrouble`: the target exists, disk full, no recording.
 */
export async function backupRecording(path: string, target: string): Promise<void> {
  if (existsSync(target))
    throw new RecordingTrouble('recording-exists', `${target}: there is such a file already; choose another name`)
  const thread = startWorker(new URL('./backup-thread.ts', import.meta.url), { workerData: { path, target } })
  const failure = await new Promise<Error | null>((resolve) => {
    thread.once('error', resolve)
    thread.once('exit', (status) =>
      resolve(status === 0 ? null : new Error(`the copying thread ended with status ${status}`)),
    )
  })
  if (!failure) return
  const code = 'code' in failure && typeof failure.code === 'string' ? failure.code : ''
  const known =
    storageFailure(failure) ?? (failure.name === 'RecordingTrouble' ? (code as RecordingTrouble['code']) : 'io-error')
  throw new RecordingTrouble(known, `${target}: was not made: ${errorText(failure)}`, failure)
}
