import { join } from 'node:path'
import { Worker, type WorkerOptions } from 'node:worker_threads'
import { inject } from 'vitest'
import { threadFile } from './thread-files.ts'

/** Stands for `server/worker-file.ts` in the tests: the same threads, from files that were made ready for the whole run. */
export const startWorker = (fileUrl: URL, options: Omit<WorkerOptions, 'eval'> = {}): Worker =>
  new Worker(join(inject('threadFiles'), threadFile(fileUrl)), options)
