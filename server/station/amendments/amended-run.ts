import { setImmediate as nextTurn } from 'node:timers/promises'
import type { Amendments } from '../../engine/amendments.ts'
import type { EngineEvent } from '../../engine/events.ts'
import type { EngineOutput } from '../../engine/outputs.ts'
import type { StationFile } from '../../engine/settings/station-file.ts'
import { createEngine, type EngineState } from '../../engine/state.ts'
import { step } from '../../engine/step.ts'
import type { RecordingReader } from '../../recording/recording-reader.ts'
import { CatchingUp } from '../catching-up.ts'
import { isRow } from './row-changes.ts'

/** The amended engine beside a run that goes on. It starts from the run's first input and catches up in slices. */
export class AmendedRun {
  readonly engine: EngineState
  /** null once it goes along. */
  private catchingUp: CatchingUp | null
  /** How far time has passed since the newest input that waits; null where it has not. */
  private passed: EngineEvent | null = null

  /** `fromStart`: every input of the run will be given to it, from the first on. */
  constructor(station: StationFile, amendments: Amendments, fromStart: boolean) {
    this.engine = createEngine(station, { amendments })
    this.catchingUp = fromStart ? null : new CatchingUp()
  }

  get goesAlong(): boolean {
    return this.catchingUp === null
  }

  /** An input, or time passing, as the run takes it. Returns the averages in force; none while it catches up. */
  take(event: EngineEvent): readonly EngineOutput[] {
    if (this.catchingUp === null) return step(this.engine, event)[1].filter(isRow)
    if (event.kind !== 'time') this.catchingUp.hold(event)
    this.passed = event.kind === 'time' ? event : null
    return []
  }

  /** Works through the stored inputs up to number `upTo`, then through what came meanwhile; `pause` after each turn. Returns whether it got there. */
  async catchUp(
    reader: RecordingReader,
    upTo: number,
    put: (outputs: readonly EngineOutput[]) => void,
    pause: () => Promise<void> = () => nextTurn(),
  ): Promise<boolean> {
    const take = (event: EngineEvent): void => put(step(this.engine, event)[1])
    const arrive = (): void => {
      // What fell due by time alone is formed before anybody asks which averages are no longer formed.
      if (this.passed !== null) take(this.passed)
      this.catchingUp = null
    }
    return this.catchingUp === null || this.catchingUp.through(reader, upTo, { take, pause, arrive })
  }

  /** Another amendment was told, or the station stops: this one ends where it is. */
  stop(): void {
    this.catchingUp?.stop()
  }
}
