import type { StreamState } from '../../protocols/live/messages.ts'
import type { Phase, PlantState } from '../../protocols/words/phases.ts'

/** All words of the screens, in one catalogue. */
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
/** On charts: a person took this stretch out of the averages. */
export const excludedWord = 'Excluded'
/** On charts and as the big state: nothing comes. */
export const noLines = 'No lines'
export const phaseMeanings: Readonly<Record<Phase, string>> = {
  measure: 'flue gas, counted in the averages',
  settle: 'cells still catching up, not counted',
  purge: 'fresh air, not counted',
  zero: 'zero being taken, not counted',
  span: 'calibration gas, not counted',
  standby: 'waiting, not counted',
  fault: 'the instrument reports a fault, not counted',
  unknown: 'nothing tells the phase, not counted',
}
export const plantWords: Readonly<Record<PlantState, string>> = {
  running: 'plant running',
  'start-up': 'plant starting up',
  'shut-down': 'plant shutting down',
  off: 'plant off',
  unknown: 'plant state not told',
}
export const plantNotRunning = 'plant not running'
export const nextKnownWords: Readonly<Record<NonNullable<StreamState['next']>['known'], string>> = {
  settling: 'by the settling time',
  schedule: 'by the schedule',
  'from the cycles so far': 'going by the cycles so far',
}
