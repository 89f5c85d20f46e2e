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
