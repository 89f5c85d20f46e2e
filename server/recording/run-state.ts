import type { RunEvent } from '../engine/events.ts'

/** What the last event of the run left it as. `waiting`: none started yet, as in a standby recording. */
export const recordedRunStates = ['waiting', 'running', 'suspended', 'ended'] as const
export type RecordedRunState = (typeof recordedRunStates)[number]

const left: Readonly<Record<RunEvent['change'], RecordedRunState>> = {
  start: 'running',
  resume: 'running',
  suspend: 'suspended',
  end: 'ended',
}

export const runStateAfter = (last: RunEvent | undefined): RecordedRunState => (last ? left[last.change] : 'waiting')

/** Whether time passes after its last input, and may bring what no input brings. Lines outside a run have no end that is recorded. */
export const timePassesIn = (state: RecordedRunState): boolean => state === 'waiting' || state === 'running'
