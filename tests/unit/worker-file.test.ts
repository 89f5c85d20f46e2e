import { once } from 'node:events'
import { expect, test } from 'vitest'
import { startWorker } from '../../server/worker-file.ts'

const fixture = (name: string) => new URL(`../fixtures/worker/${name}`, import.meta.url)

test('a message posted before the worker has loaded its file is answered all the same', async () => {
  const worker = startWorker(fixture('echo.ts'), { workerData: { file: 'night.sqlite' } })
  worker.postMessage('first')
  const [answer] = await once(worker, 'message')
  expect(answer).toEqual({ message: 'first', workerData: { file: 'night.sqlite' }, phase: 'measure' })
  await worker.terminate()
})

test('a worker file that throws while loading reports it as the error of the worker', async () => {
  const worker = startWorker(fixture('broken.ts'))
  const [error] = await once(worker, 'error')
  expect(error).toMatchObject({ message: 'broken on purpose' })
})
