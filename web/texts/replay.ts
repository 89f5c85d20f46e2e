/** Beside the word that this is a replay. */
export const replayIsDeaf = 'Alarms of the running station are neither shown nor heard on this page meanwhile.'
export const play = 'Play'
export const playAgain = 'Play again'
export const pause = 'Pause'
export const speed = 'Speed'
export const timesSpeed = (times: number): string => `${times} × speed`
export const place = 'Place in the recording'
export const played = (length: string, whole: string): string => `${length} of ${whole}`
export const backToLive = 'Back to live'
