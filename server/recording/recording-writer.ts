import assert from 'node:assert/strict'
import { randomUUID } from 'node:crypto'
import type { Worker } from 'node:worker_threads'
import { startWorker } from '../worker-file.ts'
import { type Batch, GrowingBatch, lastSequence, newestMs } from './batch.ts'
import type { DerivedStep } from './derived.ts'
import type { Derived, RecordingChange, RecordingHeader, RecordingWriter, StoredUpTo, Unnumbered } from './recording.ts'
import type { Stored } from './recording-file.ts'
import { RecordingTrouble, type RecordingTroubleCode } from './trouble.ts'
import { type LinkAnswer, WriterLink } from './writer-link.ts'

export interface WriterOptions {
  /** Bytes that the queue may take while nothing can be stored: days of a line a second. */
  readonly queueBytesMost?: number
  readonly startThread?: () => Worker
}
const queueBytesMost = 64 * 1_048_576
/** From this share of it on it is nearly full: chunks that are on their way have room yet. */
const nearlyFull = 0.75
/** Waits before the next try, ms: space that returns is used within two seconds. */
const retryMs = { first: 100, most: 2000 }

const thread = (): Worker => startWorker(new URL('./writer-thread.ts', import.meta.url))

/** Makes a recording at `path`, in a folder that exists. Rejects with a `RecordingTrouble`: it exists already, disk full, no durable writes. */
export async function createRecording(
  path: string,
  header: RecordingHeader,
  options: WriterOptions = {},
): Promise<RecordingWriter> {
  assert(Number.isSafeInteger(header.madeMs), `madeMs must be whole milliseconds: ${header.madeMs}`)
  return opened(path, options, (link, token) => link.request({ ask: 'create', path, token, header }))
}

/** Opens a recording to write on, after an orderly stop or a kill: numbers continue behind the stored ones. Rejects with a `RecordingTrouble`. */
export const resumeRecording = (path: string, options: WriterOptions = {}): Promise<RecordingWriter> =>
  opened(path, options, (link, token) => link.request({ ask: 'resume', path, token }))

async function opened(
  path: string,
  options: WriterOptions,
  open: (link: WriterLink, token: string) => Promise<LinkAnswer>,
): Promise<RecordingWriter> {
  const link = new WriterLink(options.startThread ?? thread)
  const token = randomUUID()
  const answer = await open(link, token)
  if (answer.answer === 'opened')
    return new QueuedWriter(path, token, link, answer.stored, options.queueBytesMost ?? queueBytesMost)
  await link.stop()
  throw troubleOf(answer)
}

function troubleOf(answer: LinkAnswer): Error {
  if (answer.answer === 'failed') return new RecordingTrouble(answer.code, answer.detail)
  return new Error('detail' in answer ? answer.detail : `unexpected answer ${answer.answer}`)
}

/** Keeps what is not stored yet; the thread holds nothing but the file. */
class QueuedWriter implements RecordingWriter {
  readonly path: string
  readonly #token: string
  readonly #link: WriterLink
  readonly #queueBytesMost: number
  readonly #queue: GrowingBatch[] = []
  readonly #listeners: ((change: RecordingChange) => void)[] = []
  #flushes: { sequence: number; derived: number; resolve: () => void; reject: (error: Error) => void }[] = []
  #stored: Stored
  #sequence: number
  #derived: number
  #refused = 0
  /** Derived rows that the tables lack since they were not taken; `told`: the recording says so. */
  #lacking: 'none' | 'some' | 'told' = 'none'
  #queueBytes = 0
  #isOpen = true
  #isPumping = false
  #isEnding = false
  #isTakenOver = false
  #trouble: Error | null = null
  #told = new Set<string>()
  #wake: (() => void) | null = null

  constructor(path: string, token: string, link: WriterLink, stored: Stored, most: number) {
    this.path = path
    this.#token = token
    this.#link = link
    this.#queueBytesMost = most
    this.#stored = stored
    this.#sequence = stored.sequence
    this.#derived = stored.derived
  }

  append(event: Unnumbered): number {
    assert(!this.#isEnding, 'append after close')
    assert(
      Number.isSafeInteger(event.atMs) && Number.isSafeInteger(event.monotonicMs),
      `times must be whole milliseconds: ${event.atMs}, ${event.monotonicMs}`,
    )
    if (this.#isAtLimit()) {
      this.#refused += 1
      return 0
    }
    this.#add((batch) => batch.addInput(event))
    this.#sequence += 1
    return this.#sequence
  }

  derive(derived: readonly Derived[]): void {
    if (this.#lacking !== 'some') this.#addSteps(derived)
    else if (this.#addSteps([{ table: 'in-part' }, ...derived])) this.#lacking = 'told'
  }

  deriveAnew(noted: readonly Derived[] = []): void {
    if (this.#addSteps([...noted, { table: 'all-anew' }])) this.#lacking = 'none'
  }

  derivedWhole(): void {
    if (this.#lacking === 'none') this.#addSteps([{ table: 'whole-again' }])
  }

  storedUpTo(): StoredUpTo {
    const { sequence, atMs, bytes, head } = this.#stored
    return { sequence, atMs, bytes, head, waiting: this.#sequence - sequence, refused: this.#refused }
  }

  get isNearlyFull(): boolean {
    return this.#trouble !== null && this.#queueBytes >= nearlyFull * this.#queueBytesMost
  }

  onChange(listener: (change: RecordingChange) => void): void {
    this.#listeners.push(listener)
  }

  flush(): Promise<void> {
    const { sequence, derived } = this.#stored
    if (this.#sequence === sequence && this.#derived === derived) return Promise.resolve()
    if (this.#isTakenOver) return Promise.reject(this.#trouble)
    this.#wake?.()
    return new Promise((resolve, reject) => {
      this.#flushes.push({ sequence: this.#sequence, derived: this.#derived, resolve, reject })
    })
  }

  async close(): Promise<void> {
    const stored = this.flush().then(
      () => null,
      (error: unknown) => error,
    )
    this.#isEnding = true
    const trouble = await stored
    if (!this.#isTakenOver) await this.#link.request({ ask: 'close' })
    await this.#link.stop()
    if (!trouble) return
    const { waiting } = this.storedUpTo()
    throw trouble instanceof RecordingTrouble
      ? new RecordingTrouble(trouble.code, `${waiting} inputs could not be stored: ${trouble.message}`, trouble)
      : trouble
  }

  /** All in one commit: what an instant brought is seen whole or not at all. Returns whether they were taken. */
  #addSteps(steps: readonly DerivedStep[]): boolean {
    assert(!this.#isEnding, 'derive after close')
    if (steps.length === 0) return false
    // A derived row that is not taken comes back with the replay that follows any resumption.
    if (this.#isAtLimit()) {
      this.#lacking = 'some'
      return false
    }
    const last = this.#queue.at(-1)
    this.#add((batch) => {
      for (const step of steps) batch.addStep(step)
    }, last?.endsWithInput)
    this.#derived += steps.length
    return true
  }

  /** Only while nothing can be stored: a caller that is ahead of a sound disk is merely in the queue. */
  #isAtLimit(): boolean {
    if (this.#isTakenOver) return true
    if (!this.#trouble || this.#queueBytes < this.#queueBytesMost) return false
    this.#tell('queue-full', `${this.#queueBytes} bytes wait to be stored; no more is taken until they are`)
    return true
  }

  #add(put: (batch: GrowingBatch) => void, mayOverfill = false): void {
    let batch = this.#queue.at(-1)
    // The first of the queue may be on its way already.
    if (!batch || (batch.isFull && !mayOverfill) || batch.isTaken) {
      batch = new GrowingBatch(this.#sequence + 1, this.#derived)
      this.#queue.push(batch)
    }
    const before = batch.size
    put(batch)
    this.#queueBytes += batch.size - before
    if (this.#isPumping) return
    this.#isPumping = true
    queueMicrotask(() => {
      this.#pump().catch((error: unknown) => {
        queueMicrotask(() => {
          throw error
        })
      })
    })
  }

  async #pump(): Promise<void> {
    let wait = retryMs.first
    for (let next = this.#queue[0]; next; next = this.#queue[0]) {
      if (await this.#stores(next.taken())) {
        this.#queue.shift()
        this.#queueBytes -= next.size
        wait = retryMs.first
      } else {
        if (this.#isEnding || this.#isTakenOver) break
        await this.#pause(wait)
        wait = Math.min(wait * 2, retryMs.most)
      }
    }
    this.#isPumping = false
  }

  async #stores(batch: Batch): Promise<boolean> {
    if (!this.#isOpen) {
      const opening = await this.#link.request({ ask: 'reopen', path: this.path, token: this.#token })
      if (opening.answer !== 'opened') return this.#failed(opening)
      this.#isOpen = true
      // The transaction may have been complete when its answer was lost.
      const { sequence, derived } = opening.stored
      if (sequence >= lastSequence(batch) && derived >= batch.derivedUpTo)
        return this.#acknowledge(batch, opening.stored)
    }
    const answer = await this.#link.request({ ask: 'store', batch })
    if (answer.answer !== 'stored') return this.#failed(answer)
    if (answer.stepsRefused)
      this.#tell('derived-refused', `${answer.stepsRefused.count} rows: ${answer.stepsRefused.detail}`)
    return this.#acknowledge(batch, answer.stored)
  }

  #acknowledge(batch: Batch, stored: Stored): true {
    assert(stored.sequence === lastSequence(batch), 'the recording holds what this writer gave it')
    this.#stored = { ...stored, atMs: newestMs(batch) ?? stored.atMs }
    const hadTrouble = this.#trouble !== null
    this.#trouble = null
    const done = this.#flushes.filter(
      ({ sequence, derived }) => sequence <= stored.sequence && derived <= stored.derived,
    )
    this.#flushes = this.#flushes.filter((flush) => !done.includes(flush))
    this.#emit({ kind: 'stored', upTo: this.storedUpTo() })
    if (hadTrouble) {
      this.#told.clear()
      this.#emit({ kind: 'recovered' })
    }
    for (const { resolve } of done) resolve()
    return true
  }

  #failed(answer: LinkAnswer): false {
    this.#isOpen = answer.answer === 'failed' ? answer.isOpen : answer.answer === 'defect'
    const trouble = troubleOf(answer)
    this.#trouble = trouble
    this.#isTakenOver = answer.answer === 'failed' && answer.code === 'recording-taken-over'
    this.#tell(
      answer.answer === 'lost' ? 'worker-lost' : changeCode(answer.answer === 'failed' ? answer.code : 'io-error'),
      trouble.message,
    )
    const failed = this.#flushes
    this.#flushes = []
    for (const { reject } of failed) reject(trouble)
    return false
  }

  /** Each kind of trouble once, until all is well again. */
  #tell(code: Extract<RecordingChange, { kind: 'trouble' }>['code'], detail: string): void {
    if (this.#told.has(code)) return
    this.#told.add(code)
    this.#emit({ kind: 'trouble', code, detail })
  }

  #emit(change: RecordingChange): void {
    for (const listener of this.#listeners) listener(change)
  }

  #pause(ms: number): Promise<void> {
    return new Promise((resolve) => {
      const timer = setTimeout(resolve, ms)
      this.#wake = () => {
        clearTimeout(timer)
        resolve()
      }
    })
  }
}

function changeCode(code: RecordingTroubleCode): 'disk-full' | 'io-error' | 'taken-over' {
  if (code === 'recording-taken-over') return 'taken-over'
  return code === 'disk-full' ? code : 'io-error'
}
