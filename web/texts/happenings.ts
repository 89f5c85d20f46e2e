import type { Happening } from '../../protocols/live/happening.ts'
import type { AlarmInput } from '../../protocols/words/alarms.ts'

/** Words of what the logbook tells, but for what people wrote themselves. Lengths and times are put in as they are formatted. */

type RunChange = Extract<Happening, { what: 'run' }>['change']
export const runChangeWords: Readonly<Record<RunChange, string>> = {
  start: 'Run started',
  suspend: 'Run suspended',
  resume: 'Run resumed',
  end: 'Run ended',
}
/** By the reason that the recording keeps; of one that is not known here the bare change is told, with the reason as it stands. */
export const runWordsByReason: Readonly<Record<RunChange, Readonly<Record<string, string>>>> = {
  start: {
    operator: 'Run started by hand',
    'at-once': 'Run started with the station',
    planned: 'Run started at its planned time',
    'next-of-sequence': 'Next run of the sequence started',
    import: 'Run starts with the first line of the imported log',
  },
  suspend: {
    'orderly-stop': 'Run suspended: the station was stopped. The run goes on when the station starts again',
  },
  resume: {
    killed:
      'Run resumed: the station had been killed or had lost its power. Lines of the time in between are not in the recording',
    'orderly-stop': 'Run resumed: the station had been stopped. Lines of the time in between are not in the recording',
  },
  end: {
    operator: 'Run ended by hand',
    'end-rule': 'Run ended: its end rule was met',
    'end-of-log': 'Run ends with the last line of the imported log',
  },
}

export const clockAtRealSpeed = 'The station’s clock runs at real speed'
export const clockAtSpeed = (times: string): string => `The station’s clock runs ${times} times as fast as real time`
export const clockSetForward = (length: string): string =>
  `The computer’s clock was set forward by ${length}; the station’s own time goes on without the step`
export const clockSetBack = (length: string): string =>
  `The computer’s clock was set back by ${length}; the station’s own time goes on without the step`
export const computerSlept = (length: string): string =>
  `The computer slept for ${length}; nothing was recorded meanwhile`

/** What happened to a link, and what becomes of it; what the source told stands between them. */
export const linkHappeningWords: Readonly<
  Record<Extract<Happening, { what: 'link' }>['state'], { readonly said: string; readonly after: string }>
> = {
  open: { said: 'Link to the instrument open', after: '' },
  lost: { said: 'Link to the instrument lost', after: 'It is opened again by itself' },
  silent: { said: 'Instrument silent, its link was closed', after: 'It is opened again by itself' },
  refused: { said: 'Link to the instrument could not be opened', after: 'It is tried again by itself' },
  ended: { said: 'The source is at its end', after: '' },
}

export const toldPhase = (phase: string): string => `Phase told: ${phase}`
export const toldPhaseTakenBack = 'Phase told before taken back: the instrument and the settings tell it again'
export const toldPlant = (state: string): string => `Told: ${state}`
export const excluded = 'Excluded from the averages'
export const withdrawn = { exclusion: 'An exclusion was taken back', check: 'A check was taken back' }
export const shownFor = (response: string, expected: string): string => `${response} shown for ${expected}`
export const direct = (value: string): string => `${value} with the gas at the analyser`
export const gas = (gas: string): string => `Gas: ${gas}`
export const readOff = (time: string): string => `read off ${time}`

export const alarmInputWords: Readonly<Record<AlarmInput, string>> = {
  enter: 'raised',
  leave: 'over',
  acknowledge: 'acknowledged',
  shelve: 'shelved',
  unshelve: 'taken off the shelf',
  'shelf-expired': 'back from the shelf, its time being over',
  suppress: 'suppressed while nothing is measured',
  release: 'looked at again',
  reset: 'reset',
}
export const advice = 'Advice'
export const alarmUntil = (time: string): string => `until ${time}`
export const ofReading = 'of the reading'
export const ofBlock = (length: string): string => `of the average over ${length}`
export const ofRolling = (length: string): string => `of the rolling average over ${length}`

export const fault = (title: string): string => `The instrument reports: ${title}`
export const faultOver = (title: string): string => `The instrument no longer reports: ${title}`
export const gap = (length: string): string => `No line for ${length}: the gap is not bridged and counts nothing`

export const zeroTaken = (channel: string, value: string): string => `Zero of ${channel}: ${value}`
export const zeroOfReadings = (count: number): string => (count === 1 ? 'from 1 reading' : `from ${count} readings`)
export const zeroBefore = (value: string): string => `before ${value}`
export const zeroUnclean = 'of air that was not clean'
export const zeroUsed = 'subtracted from here on'
export const zeroNoted = 'noted, not subtracted'
