import { Worker, type WorkerOptions } from 'node:worker_threads'

/**
 * Starts a worker thread from a source file: `startWorker(new URL('./writer.ts', import.meta.url), { workerData })`.
 *
 * fileUrl: the worker's `.ts` file, as it stands in the source tree. Compiled, the `.js` beside the caller is started.
 * options: as for `Worker`; `eval` is set here.
 * What the file throws while it loads arrives as the worker's `error` event.
 *
 * Node 20 cannot load `.ts` in a worker and a loader given by the parent does not reach one, so that in development and
 * under test the thread first loads the TypeScript loader, then the file. Top-level code of the file (its `parentPort`
 * listener above all) runs a moment later than in a plain worker; messages posted meanwhile wait in the port.
 */
export function startWorker(fileUrl: URL, options: Omit<WorkerOptions, 'eval'> = {}): Worker {
  if (isCompiled) return new Worker(new URL(fileUrl.href.replace(/\.ts$/, '.js')), options)
  const loader = import.meta.resolve('tsx/esm/api')
  const start = `import(${JSON.stringify(loader)}).then((tsx) => tsx.tsImport(${JSON.stringify(fileUrl.href)}, ${JSON.stringify(import.meta.url)}))`
  return new Worker(start, { ...options, eval: true })
}

const isCompiled = import.meta.url.endsWith('.js')
