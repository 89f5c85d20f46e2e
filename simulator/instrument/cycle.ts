import type { InstrumentSettings } from './settings.ts'

export type CyclePhase = 'standby' | 'purge' | 'zero' | 'measure'

/** The instrument’s own round: standby, purge, zero, then measuring, purge, zero for ever. */
export interface Cycle {
  phase: CyclePhase
  /** Moves on by one step; the first call gives the phase at second 0. */
  step(stepSeconds: number): void
  /** As after switching on. */
  restart(): void
}

const after: Record<CyclePhase, CyclePhase> = { standby: 'purge', purge: 'zero', zero: 'measure', measure: 'purge' }

export function makeCycle(settings: InstrumentSettings['cycle']): Cycle {
  const length: Record<CyclePhase, number> = {
    standby: settings.standbySeconds,
    purge: settings.purgeSeconds,
    zero: settings.zeroSeconds,
    measure: settings.measureSeconds,
  }
  const isEndless = settings.purgeSeconds + settings.zeroSeconds === 0
  let elapsed = -1
  const cycle: Cycle = {
    phase: 'standby',
    step(stepSeconds) {
      elapsed = elapsed < 0 ? 0 : elapsed + stepSeconds
      while (elapsed >= length[cycle.phase] - 1e-9 && !(isEndless && cycle.phase === 'measure')) {
        elapsed -= length[cycle.phase]
        cycle.phase = after[cycle.phase]
      }
    },
    restart() {
      cycle.phase = 'standby'
      elapsed = -1
    },
  }
  return cycle
}
