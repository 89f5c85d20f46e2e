import type { AlarmStanding, LogbookEntry } from '../../protocols/live/messages.ts'
import { isShown } from './alarm-order.ts'

const minute = 60_000
/** Alarms that follow one another within this time are taken for one happening. Our choice, no source. */
const happeningMs = 10 * minute
/** More raisings than this in ten minutes are more than one person can take in. Source: ISA-18.2 / IEC 62682, alarm flood (from memory). */
const floodAbove = 10
const floodWithinMs = 10 * minute

/** Of the newest happening with several alarms: which came first, and how many there are. Null where none belong together. */
export function firstOut(alarms: readonly AlarmStanding[]): { readonly alarm: string; readonly of: number } | null {
  const raised = alarms
    .filter((alarm) => alarm.class !== 'advice' && isShown(alarm))
    .sort((one, other) => one.raisedMs - other.raisedMs)
  let start = raised.length - 1
  while (start > 0 && (raised[start]?.raisedMs ?? 0) - (raised[start - 1]?.raisedMs ?? 0) <= happeningMs) start--
  const of = raised.length - start
  const first = raised[start]
  return first && of > 1 ? { alarm: first.alarm, of } : null
}

/** How often alarms were raised in the last ten minutes, where that is a flood; else 0. An entry of the logbook of this kind and severity stands for one raising. */
export function floodCount(logbook: readonly LogbookEntry[], nowMs: number): number {
  const count = logbook.filter(
    ({ kind, severity, atMs }) =>
      kind === 'alarm' && severity === 'abnormal' && atMs <= nowMs && atMs > nowMs - floodWithinMs,
  ).length
  return count > floodAbove ? count : 0
}
