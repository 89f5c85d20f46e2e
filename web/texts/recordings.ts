import { html } from 'lit'
import type { RecordingSummary } from '../../protocols/live/requests.ts'
import type { Part } from './part.ts'

/** The list of recordings, and the chart of two. */
export const recordingStateWords: Readonly<Record<RecordingSummary['state'], string>> = {
  running: 'running now',
  suspended: 'suspended',
  ended: 'ended',
  standby: 'outside a run',
  damaged: 'damaged',
}
export const noneYet =
  'Nothing has been recorded yet: a recording begins with the first run. One of another station, or of an earlier night, can be brought along.'
export const bring = 'Bring a recording along'
export const bringing = (file: string): string => `Bringing ${file} along, and checking its seals …`
export const brought = (name: string): string => `${name} was taken in; its seals hold.`
export const searchHint = 'name, day, state'
export const noneFits = (search: string, count: string): string => `No recording fits “${search}”; there are ${count}.`

export const from = 'from'
export const length = 'length'
export const goesOn = 'goes on'
export const lines = 'lines'
export const size = 'size'
export const seals = 'seals'
export const replayOf = (name: string): string => `Replay ${name}`
export const beingReplayed = 'Being replayed'
export const exportOf = (name: string, format: string): string => `Export ${name} as ${format}`
export const keepCopy = 'Keep a copy'
export const keepCopyOf = (name: string): string => `Keep a copy of ${name}`

export const verify = 'Verify'
export const verifyOf = (name: string): string => `Verify ${name}`
export const verifyingShort = 'Verifying …'
export const verifying = 'Verifying; a long recording takes its time …'
export const order = 'order'
export const recomputed = (engine: string, blocks: string): string =>
  `worked out anew from the lines, ${blocks} averages (Flueledger ${engine})`
export const sound = 'sound'
export const notSound = 'not sound'

export const remove = 'Remove …'
export const removeOf = (name: string): string => `Remove ${name} …`
export const removeTitle = (name: string): string => `Remove ${name} for good?`
export const removeAbout =
  'The lines of this recording, its averages and its seals are gone then; nothing brings them back. Keep a copy first, and mind how long records must be kept: permits ask for two to six years.'
export const itsName = (id: Part) => html`Its name: ${id}`
export const typeItsName = 'Type its name once more'
export const removeIt = 'Remove it for good'
export const removed = (name: string): string => `${name} was removed.`

export const onChart = 'On the chart of two'
export const onChartOf = (name: string): string => `${name} on the chart of two runs`
export const secondNeeded = 'Choose a second recording for the chart.'
export const twoRuns = 'Two runs, each from its own start'
export const nothingCommon = 'These two have no channel of the same name and unit.'
/** The chart, for whoever cannot see it. */
export const chartOf = (channel: string, one: string, other: string): string =>
  `${channel} of ${one} and of ${other}, over the time since the start of each`
/** Where the axis of times begins. */
export const chartStart = 'start'
/** Under the heading of the chart. */
export const twoRunsSaid =
  'As corrected for zero, not referred to an oxygen content; purges, zeros and settling are drawn too.'
