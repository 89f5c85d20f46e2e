import type { StreamState } from '../../protocols/live/messages.ts'
import type { Phase } from '../../protocols/words/phases.ts'

export { phaseWords, plantStateWords as plantWords } from '../../protocols/words/phases.ts'

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
export const plantNotRunning = 'plant not running'
export const nextKnownWords: Readonly<Record<NonNullable<StreamState['next']>['known'], string>> = {
  settling: 'by the settling time',
  schedule: 'by the schedule',
  'from the cycles so far': 'going by the cycles so far',
}
