import type { countFlag } from '../../protocols/words/count-flags.ts'

export const quantityWords = { asRead: 'as read', corrected: 'corrected', referred: 'referred' } as const
const countFlagWords: Readonly<Record<keyof typeof countFlag, string>> = {
  counts: 'counts',
  missing: 'missing',
  overRange: 'over range',
  underRange: 'under range',
  unreadable: 'unreadable',
  absent: 'not in the line',
  outOfRange: 'out of range',
  notMeasuring: 'not counted',
  settling: 'settling, not counted',
  plantNotRunning: 'plant not running',
  supportOutOfRange: 'a supporting channel is out of its range',
  instrumentFault: 'instrument fault',
  noRun: 'outside a run',
  excluded: 'excluded by hand',
  interferentInvalid: 'a gas that this cell also answers to has no valid reading',
}
/** Why a reading does not count, by the number that comes with it; 0 counts. */
export const flagWords: readonly string[] = Object.values(countFlagWords)
export const asTable = 'As a table'
export const figuresAsTable = (channel: string): string => `${channel}: figures of the chart as a table`
export const old = (age: string): string => `${age} old`
export const noReading = 'no reading'
export const noPresentValue = 'no present value'
export const computed = (asRead: string): string => `computed, ${asRead}`
export const notCounted = 'not counted'
export const outOfRange = 'out of range'
