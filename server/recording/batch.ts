import type { Piece } from '../../protocols/instrument/reader.ts'
import type { DerivedStep } from './derived.ts'
import { eventBody } from './events.ts'
import type { TraceMinute, Unnumbered } from './recording.ts'

/** A line in a batch: its bytes are those of `Batch.bytes` from the end of the line before to `end`. */
export interface BatchLine {
  readonly stream: string
  readonly atMs: number
  readonly monotonicMs: number
  readonly piece: Piece
  readonly end: number
}
export interface BatchEvent {
  readonly kind: string
  readonly atMs: number
  readonly monotonicMs: number
  readonly body: string
}

/** What is stored in one transaction: inputs with the numbers from `firstSequence` on, then what was derived from them or from earlier ones. */
export interface Batch {
  readonly firstSequence: number
  readonly inputs: readonly (BatchLine | BatchEvent)[]
  readonly bytes: Uint8Array
  readonly steps: readonly DerivedStep[]
  /** How many derived steps were given to the writers of this recording, this batch's last included. */
  readonly derivedUpTo: number
}

/** A batch of so many inputs or bytes is full: on a sound disk its commit ends well within 250 ms. */
const inputsMost = 4096
const bytesMost = 1_048_576
/** What an input or a derived row takes in memory beside its bytes; a rough figure, for the queue's limit. */
const inputOverhead = 200
const stepOverhead = 600

export const lastSequence = (batch: Batch): number => batch.firstSequence + batch.inputs.length - 1
export const newestMs = (batch: Batch): number | null => batch.inputs.at(-1)?.atMs ?? null

/** Collects a batch. Bytes are copied at once: sources use their buffers again. */
export class GrowingBatch {
  readonly #firstSequence: number
  readonly #inputs: (BatchLine | BatchEvent)[] = []
  readonly #steps: DerivedStep[] = []
  #slab = new Uint8Array(1024)
  #used = 0
  #derivedUpTo: number
  #size = 0
  #isTaken = false
  #endsWithInput = false

  constructor(firstSequence: number, derivedUpTo: number) {
    this.#firstSequence = firstSequence
    this.#derivedUpTo = derivedUpTo
  }

  get isEmpty(): boolean {
    return this.#inputs.length === 0 && this.#steps.length === 0
  }
  get isFull(): boolean {
    return this.#inputs.length >= inputsMost || this.#size >= bytesMost
  }
  get isTaken(): boolean {
    return this.#isTaken
  }
  /** What follows from an input is stored with it, so that no commit holds an input without it. */
  get endsWithInput(): boolean {
    return this.#endsWithInput
  }
  /** Memory that it takes, bytes. */
  get size(): number {
    return this.#size
  }

  addInput(event: Unnumbered): void {
    this.#endsWithInput = true
    if (event.kind === 'line') {
      const { stream, atMs, monotonicMs, piece, bytes } = event
      this.#copy(bytes)
      this.#inputs.push({ stream, atMs, monotonicMs, piece, end: this.#used })
      this.#size += inputOverhead + bytes.length
    } else {
      const body = eventBody(event)
      this.#inputs.push({ kind: event.kind, atMs: event.atMs, monotonicMs: event.monotonicMs, body })
      this.#size += inputOverhead + body.length
    }
  }

  addStep(step: DerivedStep): void {
    this.#endsWithInput = false
    this.#steps.push(step.table === 'trace' ? { table: 'trace', row: ownCopy(step.row) } : step)
    this.#derivedUpTo += 1
    this.#size += stepSize(step)
  }

  /** The batch as it is stored; nothing more may be added. */
  taken(): Batch {
    this.#isTaken = true
    return {
      firstSequence: this.#firstSequence,
      inputs: this.#inputs,
      bytes: this.#slab.subarray(0, this.#used),
      steps: this.#steps,
      derivedUpTo: this.#derivedUpTo,
    }
  }

  #copy(bytes: Uint8Array): void {
    const needed = this.#used + bytes.length
    if (needed > this.#slab.length) {
      const larger = new Uint8Array(Math.max(needed, this.#slab.length * 2))
      larger.set(this.#slab.subarray(0, this.#used))
      this.#slab = larger
    }
    this.#slab.set(bytes, this.#used)
    this.#used = needed
  }
}

/** Numbers of its own: a view would drag the whole buffer under it to the writer's thread, and may be used again. */
const ownCopy = (minute: TraceMinute): TraceMinute => ({
  ...minute,
  offsetsMs: minute.offsetsMs.slice(),
  channels: minute.channels.map(({ channel, asRead, corrected, referred }) => ({
    channel,
    asRead: asRead.slice(),
    corrected: corrected.slice(),
    referred: referred.slice(),
  })),
})

function stepSize(step: DerivedStep): number {
  if (step.table !== 'trace') return stepOverhead
  const { offsetsMs, channels } = step.row
  return stepOverhead + offsetsMs.byteLength * (1 + 1.5 * channels.length)
}
