import type { AmendingCheck } from '../../protocols/live/amend.ts'

export const amendmentWords = {
  exclusions: 'Excluded from the averages',
  checks: 'Checks',
  none: 'Nothing amends this run: no stretch is excluded from the averages, and no check was told.',
  inForce: 'in force',
  takenBack: 'taken back',
  takenBackBecause: 'Taken back',
  told: 'told by',
  allChannels: 'all channels',
  show: 'Show',
  takeBack: 'Take back',
  reason: 'Reason',
  confirm: 'Take it back',
  changed: (count: number): string =>
    count === 0
      ? 'Recorded. No average changed by it.'
      : `Recorded. ${count === 1 ? 'One average' : `${count} averages`} changed by it; what was before stays in the history.`,
  changing: 'Recorded. The averages that it touches follow as soon as they are formed anew.',
  inAll: (count: number): string =>
    count === 1
      ? 'One change of an average stands in the history so far.'
      : `${count} changes of averages stand in the history so far.`,
} as const

/** What taking something back does, for the dialog that asks. */
export const withdrawalWords = {
  exclusion: {
    title: 'Take the exclusion back',
    meaning: 'Its readings count again, the averages are formed anew; both changes stay in the history.',
  },
  check: {
    title: 'Take the check back',
    meaning:
      'It no longer corrects or judges an average: those that rest on it are formed anew, and one that needs it is no longer formed. Both changes stay in the history.',
  },
} as const

/** `channel`: its name. */
export const checkWords: Readonly<Record<AmendingCheck['kind'], (channel: string) => string>> = {
  zero: (channel) => `Zero check of ${channel}`,
  span: (channel) => `Span check of ${channel}`,
}
