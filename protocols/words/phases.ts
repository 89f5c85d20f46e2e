/** What the instrument is doing. Only `measure` counts. */
export const phases = ['measure', 'settle', 'purge', 'zero', 'span', 'standby', 'fault', 'unknown'] as const
export type Phase = (typeof phases)[number]

/** What a status token, an operator or a schedule can tell; `settle` follows from the others and is told by nobody. */
export const toldPhases = ['measure', 'purge', 'zero', 'span', 'standby', 'fault'] as const
export type ToldPhase = (typeof toldPhases)[number]

export const phaseWords: Readonly<Record<Phase, string>> = {
  measure: 'Measuring',
  settle: 'Settling',
  purge: 'Purging',
  zero: 'Zeroing',
  span: 'Span gas',
  standby: 'Standby',
  fault: 'Fault',
  unknown: 'Unknown',
}

/** Where a phase can come from. */
export const phaseSources = ['status', 'operator', 'schedule', 'signal'] as const
export type PhaseSource = (typeof phaseSources)[number]
export const phaseSourceWords: Readonly<Record<PhaseSource, string>> = {
  status: 'the instrument’s status words',
  operator: 'the operator',
  schedule: 'the schedule below',
  signal: 'the gas itself',
}

/** What the plant is doing; separate from the phase. */
export const plantStates = ['running', 'start-up', 'shut-down', 'off', 'unknown'] as const
export type PlantState = (typeof plantStates)[number]
export const plantStateWords: Readonly<Record<PlantState, string>> = {
  running: 'plant running',
  'start-up': 'plant starting up',
  'shut-down': 'plant shutting down',
  off: 'plant off',
  unknown: 'plant state not told',
}

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
export const faultWords: Readonly<Record<InstrumentFault, string>> = {
  condensate: 'condensate',
  'pump-flow': 'sample flow low',
  filter: 'filter',
  'cell-temperature': 'cell temperature',
  mains: 'mains power',
  battery: 'battery low',
  'cell-over-range': 'cell over range',
  other: 'another',
}
