import type { LogbookEntry } from '../../protocols/live/messages.ts'

export const entryKindWords: Readonly<Record<LogbookEntry['kind'], string>> = {
  note: 'note',
  alarm: 'alarm',
  event: 'event',
  run: 'run',
  operator: 'operator',
  link: 'link',
  clock: 'clock',
}
export const groupWords = { all: 'All', note: 'Notes', alarm: 'Alarms', event: 'Events' } as const
export const whatToShow = 'What to show'
export const writeNote = 'Write a note'
export const readyOnes = 'Ready-made entries'
export const noneFits = 'Nothing fits this choice.'
export const noneYet = 'Nothing has happened yet. Notes, alarms and events will stand here.'
export const savedLater = (length: string): string => ` · saved ${length} later`
export const correction = 'correction'
export const corrected = (time: string, text: string): string => `corrected ${time}: ${text}`
export const correct = 'Correct …'
export const correctNoteOf = (time: string): string => `Correct the note of ${time}`

/** Dialogs that write and correct a note. */
export const note = 'Note'
export const stamped = (time: string): string => `Stamped ${time}, the moment of the press.`
export const whatHappened = 'What happened'
export const saveNote = 'Save the note'
export const correctTitle = 'Correct a note'
export const correctAbout = (noted: string, text: string, time: string): string =>
  `Of ${noted}: “${text}”. It stays in the logbook; the correction stands beside it, stamped ${time}.`
export const asItShouldRead = 'As it should read, and why'
export const saveCorrection = 'Save the correction'

/** A ready-made entry of the trade, and what can hurt where hands are used; the caution stands in the dialog. */
export interface ReadyEntry {
  readonly text: string
  readonly caution: string | null
}
const hot = 'Probe, hose and duct burn: heat-proof gloves, and let parts cool. Flue gas is toxic: wear a CO alarm.'
const rules = 'The site’s safety rules and the instrument’s manual come first.'
/** Beside the ready-made entries all at once, before one is chosen. */
export const noteCaution = `Before hands go to probe, filter or trap: parts burn, flue gas is toxic, condensate is acidic. ${rules}`
/** Source: common practice of sampling, no single one. */
export const readyEntries: readonly ReadyEntry[] = [
  {
    text: 'Filter changed',
    caution: `${hot} Filter dust can hold soot and metals: gloves, mask, closed bag. ${rules}`,
  },
  {
    text: 'Trap emptied',
    caution: `Condensate is acidic and may be hot: acid-proof gloves and eye protection; into a vessel, not onto the platform. ${rules}`,
  },
  { text: 'Load changed', caution: null },
  {
    text: 'Probe moved',
    caution: `${hot} Close the port while the probe is out; on a platform both hands free and tools secured. ${rules}`,
  },
  { text: 'Leak check done', caution: `${hot} ${rules}` },
]
export const transferAbout =
  'Shows that what is recorded is what the instrument shows: read its display now and type the figures. The tool compares them with the lines of the same seconds and keeps both in the logbook.'
export const transferRule =
  'They agree where the figure typed, within half a step of its last digit, meets what the lines said within 5 seconds of the press, or within three lines where they come less often. Our rule; a scheme may ask for another.'
export const transferTitle = 'Transfer check'
export const transferStamped = (time: string): string => `Stamped ${time}.`
export const transferConfirm = 'Compare and keep'
export const transferNeeded = 'Type at least one figure of the display.'
export const transferLookAgain = 'Look at the display again, or press once more to keep it so.'
export const transferOf = (agreeing: number, all: number, figures: string): string =>
  `Transfer check: ${agreeing} of ${all} agree. ${figures}.`
export const transferFigure = (channel: string, typed: string, verdict: string): string =>
  `${channel}: display ${typed}, ${verdict}`
/** `high` null: all lines said the same. */
export const transferLines = (low: string, high: string | null, unit: string): string =>
  `lines ${low}${high === null ? '' : ` to ${high}`} ${unit}`
export const transferAgrees = (lines: string): string => `${lines}: agrees`
export const transferDiffers = (lines: string, by: string): string => `${lines}: differs by ${by}`
export const transferNoLines = 'no line said anything in these seconds'
export const transferNoNumber = 'is not a number'
