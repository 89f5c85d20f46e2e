/** What stands around the views. */
export const viewWords = {
  watch: 'Watch',
  averages: 'Averages',
  alarms: 'Alarms',
  logbook: 'Logbook',
  recordings: 'Recordings',
  'set-up': 'Set-up',
  calculations: 'Calculations',
} as const
export const views = 'Views'
/** In place of the station’s name until it is known. */
export const program = 'Flueledger'
export const standardTime = 'standard time all year'
export const note = 'Note'
export const noteKey = 'n'
export const help = 'Help: keys and terms'
export const nextLook = (look: string): string => `Look: ${look}. Press for the next`
export const themeWords = {
  system: 'as the system',
  light: 'light',
  dark: 'dark',
  contrast: 'high contrast',
} as const
export const oldPage = (version: string | null): string =>
  `This page is older than the server${version ? `, which is now version ${version}` : ''}. Some of what it shows may be missing or old.`
export const reload = 'Reload the page'
