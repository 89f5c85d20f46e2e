/** What will stand in a view once an instrument is set up. */
export const emptyWords = {
  watch: 'What the instrument does, its figures and their trends will stand here.',
  averages: 'The averages of your permit will stand here, each with its coverage and the reasons where it is invalid.',
  logbook: 'Notes, alarms and events will stand here; a note needs a recording that keeps it.',
} as const
export const noneYet = 'No instrument is set up yet: nothing is recorded.'
