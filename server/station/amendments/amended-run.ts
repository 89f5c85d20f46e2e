import type { Amendments } from '../../engine/amendments.ts'
import type { EngineEvent } from '../../engine/events.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import { createEngine, type EngineState } from '../../engine/state.ts'
import { step } from '../../engine/step.ts'
import { openRecording } from '../../recording/recording-reader.ts'
import { isRow } from './row-changes.ts'

/** Inputs that are worked through in one turn, so that the station keeps its own: a minute of a line a second, and the averages that end in it. */
const inputsPerTurn = 60

export const aTurn = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))

/** The amended engine beside a run that goes on. It starts from the run's first input and catches up in slices. */
export class AmendedRun {
  readonly engine: EngineState
  /** Inputs that came while it was catching up; null once it goes along. */
  private waiting: EngineEvent[] | null
  /** How far time has passed since the newest of them; null where it has not. */
  private passed: EngineEvent | null = null
  private isStopped = false

  /** `fromStart`: every input of the run will be given to it, from the first on. */
  constructor(station: StationFile, amendments: Amendments, fromStart: boolean) {
    this.engine = createEngine(station, { amendments })
    this.waiting = fromStart ? null : []
  }

  get goesAlong(): boolean {
    return this.waiting === null
  }

  /** An input, or time passing, as the run takes it. Returns the averages in force; none while it catches up. */
  take(event: EngineEvent): readonly EngineOutput[] {
    if (this.waiting === null) return step(this.engine, event)[1].filter(isRow)
    if (event.kind !== 'time') this.waiting.push(event)
    this.passed = event.kind === 'time' ? event : null
    return []
  }

  /** Works through the stored inputs up to number `upTo`, then through what came meanwhile. Returns whether it got there. */
  async catchUp(path: string, upTo: number, put: (outputs: readonly EngineOutput[]) => void): Promise<boolean> {
    const reader = openRecording(path)
    try {
      let number = 0
      for (const event of reader.inputs({ pageSize: inputsPerTurn })) {
        if (++number > upTo) break
        put(step(this.engine, event)[1])
        if (number % inputsPerTurn === 0) await aTurn()
        if (this.isStopped) return false
      }
    } finally {
      reader.close()
    }
    while (this.waiting !== null && this.waiting.length > 0) {
      for (const event of this.waiting.splice(0, inputsPerTurn)) put(step(this.engine, event)[1])
      await aTurn()
      if (this.isStopped) return false
    }
    // What fell due by time alone is formed before anybody asks which averages are no longer formed.
    if (this.passed !== null) put(step(this.engine, this.passed)[1])
    this.waiting = null
    return true
  }

  /** Another amendment was told, or the station stops: this one ends where it is. */
  stop(): void {
    this.isStopped = true
  }
}
