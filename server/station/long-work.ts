import { Trouble } from '../trouble.ts'
import { startWorker } from '../worker-file.ts'
import type { LongWork, LongWorkMessage, LongWorkResult } from './long-work-order.ts'

/** Does the work and ends the thread. Rejects with what went wrong, in words; a `Trouble` stays one. */
export function longWork<W extends LongWork>(work: W): Promise<LongWorkResult<W>> {
  const worker = startWorker(new URL('./long-work-thread.ts', import.meta.url), { workerData: work })
  return new Promise<LongWorkResult<W>>((resolve, reject) => {
    worker.once('message', (message: LongWorkMessage) => {
      if (message.ok) resolve(message.result as LongWorkResult<W>)
      else reject(message.status === null ? new Error(message.error) : new Trouble(message.error, message.status))
    })
    worker.once('error', reject)
    worker.once('exit', (code) => reject(new Error(`the thread ended with status ${code}`)))
  }).finally(() => worker.terminate())
}
