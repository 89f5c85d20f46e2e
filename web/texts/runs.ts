import type { RunState } from '../../protocols/live/messages.ts'

export const runWords: Readonly<Record<RunState['state'], string>> = {
  waiting: 'no run yet',
  planned: 'run planned',
  running: 'run under way',
  ended: 'run ended',
  suspended: 'run suspended',
}
export const numbered = (state: string, number: number, of: number): string => `${state}, ${number} of ${of}`
export const withoutName = 'without a name'
export const started = 'started'
export const onTheClock = 'on the clock'
export const counted = 'counted'
export const nextPlanned = 'next one planned for'
export const ends = 'ends'
export const endsByHand = 'when an operator ends it'
export const ended = 'ended'

export const transferCheck = 'Transfer check …'
export const cancelPlanned = 'Cancel what is planned'
export const end = 'End this run …'
export const start = 'Start a run …'
export const planNext = 'Plan the next …'
