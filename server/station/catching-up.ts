import type { EngineEvent } from '../engine/events.ts'
import { withPassingTime } from '../engine/passing-time.ts'
import type { RecordingReader } from '../recording/recording-reader.ts'

/** Inputs that are worked through in one turn, so that the station keeps its own: a minute of a line a second, and the averages that end in it. */
const inputsPerTurn = 60

/** What an engine does on its way through a run. */
export interface Way {
  take(event: EngineEvent): void
  /** Awaited after each turn; `done`: inputs worked through so far. */
  pause(done: number): Promise<void>
  /** Called in the moment in which nothing waits any more: from then on the engine goes along. */
  arrive(): void
}

/** An engine that starts from the first input of a run that goes on. What comes meanwhile waits, so that it takes every input once and in order. */
export class CatchingUp {
  private readonly waiting: EngineEvent[] = []
  private isStopped = false

  get held(): number {
    return this.waiting.length
  }

  /** An input came, and has its number. */
  hold(event: EngineEvent): void {
    this.waiting.push(event)
  }

  /** Through the stored inputs up to number `upTo`, then through what came meanwhile. Returns whether it got there. */
  async through(reader: RecordingReader, upTo: number, way: Way): Promise<boolean> {
    let done = 0
    for (const event of withPassingTime(this.inputs(reader, upTo))) {
      way.take(event)
      if (event.kind !== 'time' && ++done % inputsPerTurn !== 0) continue
      await way.pause(done)
      if (this.isStopped) return false
    }
    way.arrive()
    return true
  }

  private *inputs(reader: RecordingReader, upTo: number): Generator<EngineEvent> {
    yield* reader.inputs({ upToSequence: upTo, pageSize: inputsPerTurn })
    for (let turn = this.waiting.splice(0); turn.length > 0; turn = this.waiting.splice(0)) yield* turn
  }

  /** It ends where it is. */
  stop(): void {
    this.isStopped = true
  }
}
