import type { AlarmPriority } from '../../protocols/words/alarms.ts'

/** The list of alarms and its journal. */
export const priorityWords: Readonly<Record<AlarmPriority, string>> = {
  high: 'high priority',
  medium: 'medium priority',
  low: 'low priority',
}
export const notNormal = 'Alarms that are not normal'
export const now = 'Now'
export const flood = (count: number): string => `Flood: ${count} raised within 10 minutes.`
export const floodAbout = 'Look at the one that came first; the others may follow from it.'
export const nothingStands = 'Nothing stands, nothing is shelved.'
export const comesBack = (time: string, length: string, stillStands: boolean): string =>
  `Comes back at ${time}, in ${length}${stillStands ? '; its cause stands' : ''}.`
export const bringBack = 'Bring back …'
export const whatToDo = 'What to do'
export const whatCanHurt = 'What can hurt'
export const journal = 'Journal'
export const noneRaised = 'No alarm has been raised in this recording.'
export const noneToRaise = 'No instrument is set up yet: what is raised will stand here.'

/** Dialogs about an alarm. `alarm`: its headline; `by`: null where nobody is named. */
export const acknowledgeNote = 'What you do about it'
export const acknowledge = 'Acknowledge'
export const shelveTitle = (alarm: string): string => `Shelve: ${alarm}`
export const shelveNote = 'Why'
export const shelve = 'Shelve'
export const forHowLong = 'For how long'
const somebody = (by: string | null): string => by ?? 'nobody named'
export const unshelveTitle = (alarm: string): string => `Bring back: ${alarm}`
export const unshelve = 'Bring it back'
export const unshelveAbout = (by: string | null, until: string | null): string =>
  `Shelved by ${somebody(by)}${until === null ? '' : ` until ${until}`}. Where its cause stands it is raised anew at once.`
export const resetTitle = (alarm: string): string => `Reset: ${alarm}`
export const resetNote = 'What was found and done'
export const reset = 'Reset'
export const resetAbout = (by: string | null): string =>
  `Its cause has gone, and it was acknowledged by ${somebody(by)}. It stays latched until it is reset by hand, so that somebody looks first.`
export const since = (time: string, isOver: boolean, meaning: string): string =>
  `Since ${time}.${isOver ? ' It is over.' : ''} ${meaning}`
export const readyAcknowledgements: readonly string[] = ['Seen, going there', 'Seen, watching it', 'Plant told']
export const readyShelvings: readonly string[] = [
  'Being worked on',
  'Cause known, watched by eye',
  'Instrument under check',
]
/** Minutes for which an alarm can be shelved; the first that fits a piece of work comes first. */
export const shelfMinutes: readonly (readonly [number, string])[] = [
  [30, '30 minutes'],
  [10, '10 minutes'],
  [60, '1 hour'],
  [240, '4 hours'],
  [720, '12 hours'],
]
export const silenceMinutes: readonly (readonly [number, string])[] = [
  [10, '10 minutes'],
  [30, '30 minutes'],
  [60, '1 hour'],
]
export const shelveWarning =
  'A shelved alarm is neither shown in the banner nor heard. It comes back by itself when the time is over, raised anew if its cause still stands. Shelving mends nothing: readings that it makes worthless still do not count.'
export const soundWords = {
  none: 'No sound in this browser',
  off: 'Sound off, tap to enable',
  waiting: 'Sound off until you tap once',
  on: 'Sound on',
} as const
export const noticeWords = {
  none: 'This browser knows no notifications. The banner and the sound remain.',
  insecure:
    'Notifications need https, or the station’s own machine (localhost): over plain http from another one the browser forbids them. The banner and the sound remain.',
  default: 'Notifications are not allowed yet.',
  granted: 'Notifications are allowed: a raised alarm shows while this page is in the background.',
  denied: 'Notifications are forbidden in this browser’s settings for this page. The banner and the sound remain.',
} as const
export const soundLimits =
  'The sound comes from this page alone: it stops when the page, the browser or the device sleeps, and it replaces no alarm that the site requires.'

export const howPageCalls = 'How this page calls'
export const soundAndNotification = 'Sound and notification'
export const silenced = (length: string): string => `Silenced, ${length}`
export const silencedFor = (length: string): string =>
  `Sound silenced for ${length} more; a new alarm sounds all the same`
export const tryHigh = 'Try: high priority'
export const tryMedium = 'Try: medium'
export const tryLow = 'Try: low'
export const switchOn = 'Switch the sound on'
export const switchOff = 'Switch the sound off'
export const silence = 'Silence'
export const endSilence = 'End the silence'
export const silenceFor = (length: string): string => `Silence for ${length}`
export const allowNotices = 'Allow notifications …'
