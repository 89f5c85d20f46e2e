/** Other settings tried on a recording. */
export const compare = 'Compare settings'
export const compareOf = (recording: string): string => `Compare settings: others tried on ${recording}`
export const title = 'Try other settings'
export const notStored = 'Not stored'
export const about = 'The recording and its averages stay as they are; this only shows what other settings would give.'
export const referenceOxygen = 'Reference oxygen, %'
export const settling = 'Settling after a purge'
export const settlingIn = 'in'
export const responseTimes = 'response times of each channel'
export const seconds = 'seconds for all'
export const validFrom = 'Valid from a counted share of'
export const ownRule = 'the rule of the recording'
export const averagesOver = 'Averages over'
export const limits = 'Limits'
export const eachReading = 'each reading'
export const show = 'Show what they give'
export const fieldsHold = 'The fields hold the settings of the recording.'

export const numberNeeded = (setting: string): string => `${setting}: a number is needed.`
export const ofReferenceOxygen = 'Reference oxygen'
export const ofLimit = (number: number): string => `Limit ${number}`
export const lengthNeeded = 'Averages: at least one length is needed.'
export const settlingWrong = 'Settling: a number of at least zero is needed.'
export const nothingDiffers = 'Nothing differs from the settings of the recording yet: change at least one.'

/** How a setting that was tried is called, and its value in words. */
export const timesT95 = (times: number): string => `${times} × t95`
export const inSeconds = (seconds: number): string => `${seconds} s`

export const given = 'What the other settings give'
export const compared = (all: string, different: string, becameInvalid: string, becameValid: string): string =>
  `${all} averages compared, ${different} differ; ${becameInvalid} became invalid, ${becameValid} became valid`
export const onlyOnOneSide = (tried: string, recorded: string): string =>
  `; ${tried} are formed only by the other settings, ${recorded} only by those of the recording`
export const differences = 'Differences'
export const time = 'Time'
export const average = 'Average'
export const asRecorded = 'As recorded'
export const tried = 'Tried'
export const difference = 'Difference'
export const validity = 'Validity'
export const noneDiffers = 'No average differs.'
export const notFormed = 'not formed'
export const moreFurther = (count: string): string => `Show more: ${count} further ones`
export const firstOfAll = (all: string, told: string): string =>
  `${all} in all; the first ${told} are told here, all of them by replay on the command line.`
