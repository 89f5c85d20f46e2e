import type { StatusTold } from '../../../protocols/instrument/reader.ts'
import type { InstrumentFault, ToldPhase } from '../../../protocols/words/phases.ts'
import type { NoticeCode } from '../outputs.ts'
import type { PhaseEvidence } from './evidence.ts'
import type { PlantTracker } from './plant-state.ts'

/** How many unknown tokens are told of; a stream of garbage shall not fill the logbook. */
const mostUnknown = 100

/**
 * Turns status tokens into phases and plant states. A phase stands until another is told; a word that the profile does not
 * know, where a phase is told otherwise, ends it too: it may stand for a purge, and must not pass for measuring. While a fault
 * stands that stops the readings, the phase is `fault` whatever else is told.
 */
export class StatusTeller {
  private readonly evidence: PhaseEvidence
  private readonly plant: PlantTracker
  private readonly stopping: ReadonlySet<InstrumentFault>
  private readonly tell: (code: NoticeCode, atMs: number, text: string) => void
  private readonly unknown = new Set<string>()
  private faults: readonly InstrumentFault[] = []
  private phase: ToldPhase | 'unknown' | null = null
  /** What the line before told: the very same again changes nothing. */
  private lastTold: readonly StatusTold[] | null = null

  constructor(
    evidence: PhaseEvidence,
    plant: PlantTracker,
    stopping: readonly InstrumentFault[],
    tell: (code: NoticeCode, atMs: number, text: string) => void,
  ) {
    this.evidence = evidence
    this.plant = plant
    this.stopping = new Set(stopping)
    this.tell = tell
  }

  /** `told`: of one line, in its order. `faults`: those that stand with it. */
  take(told: readonly StatusTold[], faults: readonly InstrumentFault[], at: number): void {
    if (told !== this.lastTold || faults !== this.faults) this.takeNew(told, faults, at)
  }

  private takeNew(told: readonly StatusTold[], faults: readonly InstrumentFault[], at: number): void {
    this.lastTold = told
    const tellsPhase = told.some(({ phase }) => phase !== undefined)
    for (const { token, known, hidesPhase = false, phase, plant } of told) {
      if (phase) this.phase = phase
      else if (hidesPhase && !tellsPhase) this.phase = 'unknown'
      if (plant) this.plant.tell('status', at, plant)
      if (!known && this.unknown.size < mostUnknown && !this.unknown.has(token)) {
        this.unknown.add(token)
        const means =
          hidesPhase && !tellsPhase ? 'the phase is unknown until another word tells it' : 'it tells nothing'
        this.tell('unknown_status', at, `the status “${token}” is not in the profile; ${means}`)
      }
    }
    for (const fault of faults)
      if (!this.faults.includes(fault)) this.tell('fault_told', at, `the instrument reports: ${fault}`)
    for (const fault of this.faults)
      if (!faults.includes(fault)) this.tell('fault_cleared', at, `the instrument no longer reports: ${fault}`)
    this.faults = faults
    this.evidence.tell('status', at, faults.some((fault) => this.stopping.has(fault)) ? 'fault' : this.phase)
  }
}
