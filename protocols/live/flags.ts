import type { LogbookEntry } from './messages.ts'

/** What a flag over the charts shows; where several share a place, the first of these decides. */
export const flagSigns = ['alarm', 'caution', 'note', 'event'] as const
export type FlagSign = (typeof flagSigns)[number]

type Flagged = Pick<LogbookEntry, 'kind' | 'severity' | 'by'>

/** What is worth a flag: notes, what a person did, alarms that were raised, what was abnormal or notable. Zeros and the like stay in the logbook. */
export const isFlagged = ({ kind, severity, by }: Flagged): boolean =>
  kind === 'note' ||
  (by !== null && kind !== 'alarm') ||
  severity === 'abnormal' ||
  (kind !== 'alarm' && severity === 'notable')

export const signOf = ({ kind, severity }: Flagged): FlagSign =>
  severity === 'abnormal' ? (kind === 'alarm' ? kind : 'caution') : kind === 'note' ? kind : 'event'

/** The one that decides. */
export const weightier = (one: FlagSign, other: FlagSign): FlagSign =>
  flagSigns.indexOf(one) < flagSigns.indexOf(other) ? one : other
