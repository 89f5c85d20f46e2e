/** Dialogs that start, plan and end runs, and that tell the phase and the plant state. */
export const endTitle = (run: string): string => `End ${run}?`
export const thisRun = 'this run'
export const end = 'End the run'
export const endAbout = (elapsed: string, counted: string): string =>
  `${elapsed} on the clock, ${counted} counted. The running blocks end here, with the reason that the run ended within them. It cannot be taken back.`
export const cancelTitle = 'Cancel what is planned?'
export const cancelIt = 'Cancel it'

export const startTitle = 'Start a run'
export const start = 'Start'
export const planTitle = 'Plan the next run'
export const planIt = 'Plan it'
export const planAbout = 'It begins at its time, and not before the present run has ended.'
export const name = 'What the run is called'
export const whenStart = 'Start'
export const afterThisRun = 'as soon as this run has ended'
export const atOnce = 'at once'
export const atTime = 'at a time'
export const startTime = (zone: string): string => `Start time, ${zone}`
export const whenEnd = 'End'
export const byHand = 'by hand'
export const afterCounted = 'after counted minutes'
export const afterClock = 'after minutes on the clock'
export const minutes = 'Minutes'
export const howMany = 'How many runs, one after the other'
export const startWrong = 'The start time is not a time.'
export const minutesWrong = 'Minutes: a number above zero is needed.'
export const howManyWrong = 'How many runs: a whole number from 1 to 50.'

export const tellTitle = 'Tell the phase or the plant state'
export const tellAbout =
  'Holds from now on, until it is told otherwise; the logbook keeps who told it. Only readings while measuring, with the plant running, count. Telling it here switches nothing at the instrument. Where the station file names the instrument’s status before the operator, the status wins for as long as it tells a phase.'
export const asItIs = 'as it is'
export const plantAsItIs = (plant: string): string => `as it is: ${plant}`
export const takeMarkBack = 'take my mark back'
export const plant = 'Plant'
export const tellWrong = 'Choose a phase or a plant state.'
