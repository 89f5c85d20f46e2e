/** What comes of asking the station, where it does not say so itself. */
export const noAnswer = 'The station does not answer. Is the line to it up?'
export const refused = (status: number): string => `The station refused this (${status}).`
export const unreadable = 'The answer could not be read: this page is older than the server. Reload it.'
