import type { EngineEvent, TimeEvent } from './events.ts'
import { isAmendment } from './told-amendments.ts'

/** What falls due within so long is put out at once. */
const sliceMs = 3_600_000

/**
 * The same events, with passing time told between those that lie far apart. It changes no output, but where a run went on
 * after weeks, the empty averages of these weeks come in slices and not in one heap.
 */
export function* withPassingTime<E extends EngineEvent>(events: Iterable<E>): Generator<E | TimeEvent> {
  let passedMs = Number.POSITIVE_INFINITY
  for (const event of events) {
    if (!isAmendment(event)) {
      for (let atMs = passedMs + sliceMs; atMs < event.atMs; atMs += sliceMs)
        yield { kind: 'time', atMs, monotonicMs: event.monotonicMs }
      passedMs = event.atMs
    }
    yield event
  }
}
