import { noAmendments } from '../engine/amendments.ts'
import type { EngineEvent } from '../engine/events.ts'
import type { EngineOutput } from '../engine/outputs.ts'
import type { StationFile } from '../engine/settings/station-file.ts'
import { createEngine, type EngineOptions, type EngineState } from '../engine/state.ts'
import { step } from '../engine/step.ts'
import { nextDueMs } from '../engine/timers.ts'
import { amends } from '../engine/told-amendments.ts'

/** Averages, and the readings that go into them, are those in force; alarms, phases and notices those that were lived through. */
const isInForce = ({ kind }: EngineOutput): boolean => kind === 'block' || kind === 'rolling' || kind === 'reading'

/** A run through the engine: as it was lived through and, where something amends it, as amended beside it. */
export class RunEngines {
  readonly lived: EngineState
  /** The engine whose averages are in force; the same where nothing amends. */
  readonly inForce: EngineState

  constructor(station: StationFile, { amendments = noAmendments, ...options }: EngineOptions) {
    const isAmended = amends(amendments)
    this.lived = createEngine(station, isAmended ? { ...options, listening: false } : options)
    this.inForce = isAmended ? createEngine(station, { ...options, amendments }) : this.lived
  }

  get isAmended(): boolean {
    return this.lived !== this.inForce
  }

  /** When time alone next brings something in either of them. */
  nextDueMs(): number {
    return this.isAmended ? Math.min(nextDueMs(this.lived), nextDueMs(this.inForce)) : nextDueMs(this.lived)
  }

  step(event: EngineEvent): readonly EngineOutput[] {
    const [, lived] = step(this.lived, event)
    if (!this.isAmended) return lived
    const [, inForce] = step(this.inForce, event)
    return [...lived.filter((output) => !isInForce(output)), ...inForce.filter(isInForce)]
  }
}
