import type { EngineEvent, TimeEvent } from './events.ts'
import { isAmendment } from './told-amendments.ts'

/** What falls due within so long is put out at once. */
const sliceMs = 3_600_000

const nothing: readonly TimeEvent[] = []

/**
 * Tells passing time between events that lie far apart. It changes no output, but where a run went on after weeks, the empty
 * averages of these weeks come in slices and not in one heap.
 */
export class PassingTime {
  private passedMs = Number.POSITIVE_INFINITY

  /** What is to be told before this event; asked once for each, in order. */
  before(event: EngineEvent): readonly TimeEvent[] {
    if (isAmendment(event)) return nothing
    const fromMs = this.passedMs
    this.passedMs = event.atMs
    if (!(fromMs + sliceMs < event.atMs)) return nothing
    const told: TimeEvent[] = []
    for (let atMs = fromMs + sliceMs; atMs < event.atMs; atMs += sliceMs)
      told.push({ kind: 'time', atMs, monotonicMs: event.monotonicMs })
    return told
  }
}

/** The same events, with the passing time between them. */
export function* withPassingTime<E extends EngineEvent>(events: Iterable<E>): Generator<E | TimeEvent> {
  const passing = new PassingTime()
  for (const event of events) {
    yield* passing.before(event)
    yield event
  }
}
