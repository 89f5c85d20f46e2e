import type { VerifyAnswer } from '../../protocols/live/requests.ts'
import { startWorker } from '../worker-file.ts'
import type { ExportTarget } from './export-recording.ts'

/** Work that would hold up the recording for too long, done in a thread of its own on a reading connection. */
export type LongWork = { readonly work: 'verify'; readonly path: string } | { readonly work: 'export'; readonly path: string; readonly target: ExportTarget }
export type LongWorkResult<W extends LongWork> = W extends { work: 'verify' } ? VerifyAnswer : string[]
export type LongWorkMessage = { readonly ok: true; readonly result: VerifyAnswer | string[] } | { readonly ok: false; readonly error: string }

/** Does the work and ends the thread. Rejects with what went wrong, in words. */
export function longWork<W extends LongWork>(work: W): Promise<LongWorkResult<W>> {
  const worker = startWorker(new URL('./long-work-thread.ts', import.meta.url), { workerData: work })
  return new Promise<LongWorkResult<W>>((resolve, reject) => {
    worker.once('message', (message: LongWorkMessage) => {
      if (message.ok) resolve(message.result as LongWorkResult<W>)
      else reject(new Error(message.error))
    })
    worker.once('error', reject)
    worker.once('exit', (code) => reject(new Error(`the thread ended with status ${code}`)))
  }).finally(() => worker.terminate())
}
