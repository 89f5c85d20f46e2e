/** Words of the alarms: their dialogs, the sound, the notification. */
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
  'A shelved alarm is neither shown in the banner nor heard. It comes back by itself when the time is over, raised anew if its cause still stands. Shelving mends nothing: readings that an alarm makes worthless do not count meanwhile either.'
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
