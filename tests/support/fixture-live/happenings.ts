import type { AlarmStanding, LogbookEntry } from '../../../protocols/live/messages.ts'
import { gap, minute, nightStart, phaseAt } from './scenario.ts'

const entry = (
  id: string,
  atMs: number,
  kind: LogbookEntry['kind'],
  text: string,
  more: Partial<LogbookEntry> = {},
): LogbookEntry => ({ id, atMs, kind, stream: 'main', text, by: null, savedMs: null, severity: 'plain', ...more })

/** The invented night's logbook up to a time, oldest first. */
export function logbookUpTo(nowMs: number): LogbookEntry[] {
  const entries = [
    entry('e1', nightStart, 'run', 'Run 1 of 3 started', { by: 'M. Example' }),
    entry('e2', nightStart + 4 * minute, 'note', 'Probe at point 3, trap empty, filter new', {
      by: 'M. Example',
      savedMs: nightStart + 5 * minute,
    }),
    entry('e3', nightStart + 131 * minute, 'note', 'Load raised to 80 % at the control room’s request', {
      by: 'M. Example',
      savedMs: nightStart + 131 * minute,
    }),
    entry('e4', gap.startMs + 3000, 'link', 'No line for 3 s: instrument silent', { severity: 'notable' }),
    entry('e5', gap.endMs, 'link', 'Lines come again; gap of 9 min 30 s', { severity: 'notable' }),
    entry('e6', gap.endMs + 40 * minute, 'alarm', 'CO reading above 400 ppm: raised', { severity: 'abnormal' }),
    entry('e7', gap.endMs + 41 * minute, 'alarm', 'CO reading above 400 ppm: returned', { severity: 'notable' }),
  ]
  for (let at = nightStart; at < nowMs; at = phaseAt(at).untilMs) {
    if (phaseAt(at).phase === 'purge')
      entries.push(
        entry(`z${at}`, at + 4 * minute, 'event', 'Zero of NO, CO and SO₂ taken in the purge', { severity: 'plain' }),
      )
  }
  return entries.filter((found) => found.atMs <= nowMs).sort((one, other) => one.atMs - other.atMs)
}

export const condensateAlarm = (atMs: number): AlarmStanding => ({
  alarm: 'health:condensate:main',
  class: 'health',
  cause: 'condensate',
  stream: 'main',
  channel: null,
  priority: 'high',
  state: 'raised',
  active: true,
  raisedMs: atMs,
  sinceMs: atMs,
  value: null,
  limit: null,
  unit: null,
  by: null,
  note: null,
  untilMs: null,
  count: 1,
})
export const limitAlarm = (atMs: number): AlarmStanding => ({
  alarm: 'limit:nox-30m',
  class: 'limit',
  cause: 'limit',
  stream: 'main',
  channel: 'nox',
  priority: 'medium',
  state: 'returned',
  active: false,
  raisedMs: atMs - 34 * minute,
  sinceMs: atMs,
  value: 204.3,
  limit: 200,
  unit: 'mg/m3',
  by: null,
  note: null,
  untilMs: null,
  count: 2,
})
export const adviceAlarm = (atMs: number): AlarmStanding => ({
  alarm: 'advice:co-30m',
  class: 'advice',
  cause: 'on-course',
  stream: 'main',
  channel: 'co',
  priority: 'low',
  state: 'raised',
  active: true,
  raisedMs: atMs,
  sinceMs: atMs,
  value: 108,
  limit: 100,
  unit: 'mg/m3',
  by: null,
  note: null,
  untilMs: null,
  count: 1,
})
