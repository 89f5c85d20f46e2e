import type { AmendingCheck } from '../../protocols/live/amend.ts'

export const exclusions = 'Excluded from the averages'
export const checks = 'Checks'
export const none = 'Nothing amends this run: no stretch is excluded from the averages, and no check was told.'
export const inForce = 'in force'
export const takenBack = 'taken back'
export const takenBackBecause = 'Taken back'
export const told = 'told by'
export const allChannels = 'all channels'
export const show = 'Show'
export const showOf = (name: string): string => `Show ${name} on the trends`
export const takeBack = 'Take back'
export const takeBackOf = (name: string): string => `Take back: ${name}`
export const reason = 'Reason'
export const confirm = 'Take it back'
export const changed = (count: number): string =>
  count === 0
    ? 'Recorded. No average changed by it.'
    : `Recorded. ${count === 1 ? 'One average' : `${count} averages`} changed by it; what was before stays in the history.`
export const changing = 'Recorded. The averages that it touches follow as soon as they are formed anew.'
export const inAll = (count: number): string =>
  count === 1
    ? 'One change of an average stands in the history so far.'
    : `${count} changes of averages stand in the history so far.`

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

/** Dialogs that exclude a stretch and that tell a check. */
export const exclude = 'Exclude a stretch'
export const excludeAbout =
  'Readings in it no longer count in any average: coverage falls, the averages are formed anew, and what they were stays in the history. Alarms stay as they were. It can be taken back; that it was told cannot be undone.'
export const excludeReason = 'Reason: it stands beside the averages and in every export'
export const excludeIt = 'Exclude it'
export const readyReasons: readonly string[] = [
  'probe out of the duct',
  'sampling line was open',
  'condensate in the line',
  'calibration not told to the station',
]
export const stretchWrong = 'From and to: a date and a time are needed.'

export const tellCheck = 'Tell a check'
export const checkAbout =
  'A gas that is known, and what the instrument showed of it. Averages that rest on checks are formed anew, and what they were stays in the history. It can be taken back; that it was told cannot be undone.'
export const checkCautions =
  'Calibration gases can be toxic and choke: vent them outdoors, secure the cylinder, follow the site’s safety rules.'
export const checkGas = 'Gas: cylinder, certificate'
export const kind = 'Kind'
export const zeroGas = 'Zero gas'
export const spanGas = 'Span gas'
export const gasHolds = 'The gas holds'
export const shown = 'Shown through the whole system'
export const shownDirect = 'Shown with the gas at the analyser, if that was done'
export const readOffAt = (zone: string): string => `Read off at, ${zone}`
export const gasHoldsWrong = 'What the gas holds: a number is needed.'
export const shownWrong = 'What was shown: a number is needed.'
export const shownDirectWrong = 'What was shown at the analyser: a number, or nothing.'
export const readOffWrong = 'Read off at: a date and a time are needed.'
