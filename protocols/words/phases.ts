/** What the instrument is doing. Only `measure` counts. */
export const phases = ['measure', 'settle', 'purge', 'zero', 'span', 'standby', 'fault', 'unknown'] as const
export type Phase = (typeof phases)[number]

/** What a status token, an operator or a schedule can tell; `settle` follows from the others and is told by nobody. */
export const toldPhases = ['measure', 'purge', 'zero', 'span', 'standby', 'fault'] as const
export type ToldPhase = (typeof toldPhases)[number]

/** Where a phase can come from. */
export const phaseSources = ['status', 'operator', 'schedule', 'signal'] as const
export type PhaseSource = (typeof phaseSources)[number]

/** What the plant is doing; separate from the phase. */
export const plantStates = ['running', 'start-up', 'shut-down', 'off', 'unknown'] as const
export type PlantState = (typeof plantStates)[number]

/** Faults that an instrument can tell of itself. */
export const instrumentFaults = [
  'condensate',
  'pump-flow',
  'filter',
  'cell-temperature',
  'mains',
  'battery',
  'cell-over-range',
  'other',
] as const
export type InstrumentFault = (typeof instrumentFaults)[number]
