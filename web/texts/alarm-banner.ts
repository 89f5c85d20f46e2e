import type { AlarmState } from '../../protocols/words/alarms.ts'

/** Alarms as they are told on every view. */
export const alarms = 'Alarms'
export const alarmStateWords: Readonly<Record<AlarmState, string>> = {
  normal: 'over',
  raised: 'stands',
  acknowledged: 'stands, acknowledged',
  returned: 'over, not yet acknowledged',
  'latched-raised': 'latched',
  'latched-acknowledged': 'latched, acknowledged',
  shelved: 'shelved',
  suppressed: 'suppressed',
}
/** Above alarms of a station that this page no longer hears. */
export const asLastHeard = (time: string): string =>
  `As last heard at ${time}. This page does not hear the station: what was raised or is over since then is not known here.`
export const flood = (count: number, folded: number): string =>
  `Flood: ${count} alarms raised within 10 minutes${folded > 0 ? `, ${folded} folded` : ''}`
export const more = (count: number): string => `and ${count} more: all alarms`
export const advice = (headline: string): string => `Advice · ${headline}`
/** This one came first, of so many that came together. */
export const firstOf = (count: number): string => `First of ${count}`
export const times = (count: number): string => `${count} times`
export const since = (at: string, length: string): string => `since ${at}, ${length}`
export const raised = (at: string, length: string): string => `raised ${at}, ${length} ago`
export const against = (value: string, limit: string): string => `${value} against ${limit}`
export const spoken = (headline: string): string => `Alarm: ${headline}`

export const acknowledge = 'Acknowledge …'
export const shelve = 'Shelve …'
export const reset = 'Reset …'
