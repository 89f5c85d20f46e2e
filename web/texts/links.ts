import type { RecordingState, StreamState } from '../../protocols/live/messages.ts'

/** Page and station, station and instrument, and what is safe in the recording. */
export const links = 'Links'
export const page = 'Page'
export const instrument = 'Instrument'
export const instrumentOf = (stream: string): string => `Instrument ${stream}`
export const recording = 'Recording'
export const linkWords: Readonly<Record<StreamState['link'], string>> = {
  waiting: 'waiting for the first line',
  open: 'lines come',
  lost: 'link lost',
  silent: 'silent',
  refused: 'cannot be opened',
  ended: 'ended',
}
export const recordingWords: Readonly<Record<RecordingState['state'], string>> = {
  recording: 'recording',
  behind: 'recording, but behind',
  standby: 'standby recording',
  stopped: 'not recording',
}

export const connecting = 'connecting to the station'
export const tryingNow = 'trying now'
export const nextTry = (length: string): string => `next try in ${length}`
export const noLink = (length: string, next: string, attempt: number): string =>
  `no link to the station for ${length}, ${next} (try ${attempt})`
export const nothingHeard = (length: string): string => `nothing heard from the station for ${length}`
export const catchingUp = 'linked, catching up'
export const linkedReplay = 'linked, replay'
export const linkedLive = 'linked, live'

export const asRecorded = 'as recorded'
/** `reasons`: as the protocol names them. */
export const refusedLines = (count: string, reasons: readonly string[]): string =>
  `${count} refused (${reasons.join(', ').replaceAll('_', ' ')})`
export const lineNotKnown = (age: string): string => `not known; last line heard of ${age} ago`
export const lastLineNow = 'last line just now'
export const lastLineAgo = (age: string): string => `last line ${age} ago`
export const tryNumber = (attempt: number): string => ` (try ${attempt})`

export const playedBack = 'played back, not changed'
export const nothingStored = 'nothing stored yet'
export const storedUpTo = (time: string): string => `stored up to ${time}`
export const storedNotKnown = (stored: string): string => `not known; last heard: ${stored}`
export const room = (length: string): string => `room for ${length}`
