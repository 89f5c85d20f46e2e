import { totalmem } from 'node:os'
import { exitStatus, Trouble } from '../trouble.ts'
import { startWorker } from '../worker-file.ts'
import type { LongWork, LongWorkMessage, LongWorkResult } from './long-work-order.ts'

/** 4 GiB, or half of the machine's memory where that is less: what is left is for the recording that goes on beside it. */
const usualMemoryMiB = Math.min(4096, Math.floor(totalmem() / 2 / 2 ** 20))

/**
 * Does the work and ends the thread. Rejects with what went wrong, in words; a `Trouble` stays one, and work that wants more
 * than `memoryMiB` is one too.
 */
export function longWork<W extends LongWork>(work: W, memoryMiB = usualMemoryMiB): Promise<LongWorkResult<W>> {
  const worker = startWorker(new URL('./long-work-thread.ts', import.meta.url), {
    workerData: work,
    resourceLimits: { maxOldGenerationSizeMb: memoryMiB },
  })
  return new Promise<LongWorkResult<W>>((resolve, reject) => {
    worker.once('message', (message: LongWorkMessage) => {
      if (message.ok) resolve(message.result as LongWorkResult<W>)
      else reject(message.status === null ? new Error(message.error) : new Trouble(message.error, message.status))
    })
    worker.once('error', (error: NodeJS.ErrnoException) =>
      reject(error.code === 'ERR_WORKER_OUT_OF_MEMORY' ? tooMuchMemory(work.work, memoryMiB) : error),
    )
    worker.once('exit', (code) => reject(new Error(`the thread ended with status ${code}`)))
  }).finally(() => worker.terminate())
}

const tooMuchMemory = (work: LongWork['work'], memoryMiB: number): Trouble =>
  new Trouble(
    `${work}: takes more than the ${memoryMiB} MiB of memory that it is given beside a recording; the recording goes on`,
    exitStatus.checkFailed,
  )
