/** The state in big letters, and what stands around it. */
export const now = 'Now'
export const waiting = 'Waiting'
export const outOfTouch = 'Out of touch'
export const lastKnown = (phase: string): string => `Last known: ${phase}`
export const newestOld = (age: string): string => `newest figures are ${age} old`
export const stationNotHeard = (lastKnown: string): string =>
  `This page does not hear the station. The station may record on. ${lastKnown}`
export const instrumentLink = (link: string, lastKnown: string): string =>
  `The instrument’s link: ${link}. ${lastKnown}`
export const noLineYet = (source: string): string => `No line yet from ${source}.`
export const already = (length: string): string => `for ${length}`
export const recognised = (meaning: string): string => `${meaning} (recognised from the signals)`
export const nextNotKnown = 'what comes next is not known'
export const overdue = (phase: string, length: string, known: string): string =>
  `${phase} is ${length} overdue, ${known}`
export const next = (phase: string, length: string, known: string): string => `${phase} in ${length}, ${known}`
export const about = (length: string): string => `about ${length}`

export const tellPhase = 'Tell phase or plant …'
export const farView = 'Far view'
export const farViewHint = 'Letters for three metres (f)'
export const channelsAndTrends = 'Channels and trends'
export const logbook = 'Logbook'
export const phase = 'Phase'
export const run = 'Run'
