/** What is opened from the charts: a stretch that is typed, the figures as a table, the flags of the logbook. */
export const stretchTitle = 'Choose the stretch'
export const stretchAbout = 'Times are the station’s. The address then holds the stretch: a copied link shows the same.'
export const stretchWrong = 'Both times are needed, and the end must lie after the start.'
export const toIn = (zone: string): string => `To, ${zone}`
export const showIt = 'Show it'

export const figures = 'Figures'
export const from = 'From'
export const lowest = 'Lowest'
export const highest = 'Highest'
export const blockMean = 'Block mean'
export const block = 'Block'
export const phases = 'Phases'
export const runningOrInvalid = 'running or invalid'
/** A heading of the copied table. */
export const inUnit = (heading: string, unit: string): string => `${heading}, ${unit}`

export const notesAndEvents = 'Notes and events'
export const severalFrom = (count: number, time: string): string => `${count} entries from ${time}`
export const oneAt = (kind: string, time: string): string => `${kind} at ${time}`
export const logbookAt = (time: string): string => `Logbook at ${time}`
export const moreHere = (count: number): string => `${count} more here: “Only this” parts them.`
export const correction = ', correction'
