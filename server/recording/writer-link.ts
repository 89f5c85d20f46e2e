import type { Worker } from 'node:worker_threads'
import { errorText } from './trouble.ts'
import type { WriterAnswer, WriterRequest } from './writer-messages.ts'

export type LinkAnswer = WriterAnswer | { readonly answer: 'lost'; readonly detail: string }

/** Asks the writer's thread one thing at a time. A thread that died is told of once, as the answer `lost`; the next request starts a new one. */
export class WriterLink {
  readonly #start: () => Worker
  #worker: Worker | null = null
  #answer: ((answer: LinkAnswer) => void) | null = null
  #lost: string | null = null

  constructor(start: () => Worker) {
    this.#start = start
  }

  request(request: WriterRequest): Promise<LinkAnswer> {
    return new Promise((resolve) => {
      if (this.#lost !== null) {
        const detail = this.#lost
        this.#lost = null
        resolve({ answer: 'lost', detail })
        return
      }
      this.#answer = resolve
      try {
        const [message, transfer] = packed(request)
        this.#running().postMessage(message, transfer)
      } catch (error) {
        this.#settle({ answer: 'defect', detail: errorText(error) })
      }
    })
  }

  async stop(): Promise<void> {
    const worker = this.#worker
    this.#worker = null
    worker?.removeAllListeners()
    await worker?.terminate()
  }

  #running(): Worker {
    if (this.#worker) return this.#worker
    const worker = this.#start()
    let cause = ''
    worker.on('message', (answer: WriterAnswer) => this.#settle(answer))
    worker.on('error', (error) => {
      cause = errorText(error)
    })
    worker.on('exit', (status) => {
      this.#worker = null
      this.#loose(cause || `the writer's thread ended with status ${status}`)
    })
    this.#worker = worker
    return worker
  }

  #loose(detail: string): void {
    if (this.#answer) this.#settle({ answer: 'lost', detail })
    else this.#lost = detail
  }

  #settle(answer: LinkAnswer): void {
    const settle = this.#answer
    this.#answer = null
    settle?.(answer)
  }
}

/** The bytes go over as a copy that changes hands: the batch itself stays here until it is acknowledged. */
function packed(request: WriterRequest): [WriterRequest, ArrayBuffer[]] {
  if (request.ask !== 'store') return [request, []]
  const bytes = request.batch.bytes.slice()
  return [{ ask: 'store', batch: { ...request.batch, bytes } }, [bytes.buffer]]
}
