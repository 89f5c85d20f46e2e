import { html } from 'lit'
import type { AlarmStanding, LogbookEntry } from '../../protocols/live/messages.ts'
import { alarmPriorities, alarmStates } from '../../protocols/words/alarms.ts'
import { alarmStateWords } from '../texts/alarm-banner.ts'
import { priorityWords } from '../texts/alarms.ts'
import { alarm, minute, nowMs, replayed, station } from './invented.ts'
import type { Group } from './shown.ts'
import '../shell/alarm-banner.ts'
import '../views/alarms/standing-alarm.ts'

const known = station()
const banner = (
  alarms: readonly AlarmStanding[],
  canAct = true,
  logbook: readonly LogbookEntry[] = [],
  heardMs: number | null = null,
) =>
  html`<alarm-banner .alarms=${alarms} .channels=${known.channels} .logbook=${logbook} listHref="#alarms" .nowMs=${nowMs} .zone=${known.clock} ?canAct=${canAct} .heardMs=${heardMs}></alarm-banner>`
const standing = (one: AlarmStanding, of = known, firstOf = 0) =>
  html`<standing-alarm .alarm=${one} .station=${of} .nowMs=${nowMs} .firstOf=${firstOf}></standing-alarm>`

/** `normal` stands in no list. */
const shownStates = alarmStates.filter((state) => state !== 'normal')
const inState = (state: AlarmStanding['state']): AlarmStanding => {
  const isStanding = state !== 'returned' && state !== 'suppressed'
  const isSigned = state.endsWith('acknowledged') || state === 'shelved'
  return alarm({
    state,
    active: isStanding,
    ...(isSigned ? { by: 'M. Example', note: 'trap is being emptied' } : {}),
    ...(state === 'shelved' ? { untilMs: nowMs + 25 * minute } : {}),
  })
}
const overLimit = alarm({
  alarm: 'limit:nox-30m',
  class: 'limit',
  cause: 'limit',
  channel: 'nox',
  priority: 'medium',
  value: 204.3,
  limit: 200,
  unit: 'mg/m3',
  count: 2,
})
const advice = alarm({
  ...overLimit,
  alarm: 'advice:nox-30m',
  class: 'advice',
  cause: 'on-course',
  priority: 'low',
  count: 1,
})
const many = ['condensate', 'filter', 'sample-flow', 'silence', 'unparsable'].map((cause, place) =>
  alarm({
    alarm: `health:${cause}:main`,
    cause,
    raisedMs: nowMs - (5 - place / 10) * minute,
    sinceMs: nowMs - 4 * minute,
  }),
)
const raisedInFlood = Array.from(
  { length: 12 },
  (_, place): LogbookEntry => ({
    id: `f${place}`,
    atMs: nowMs - (8 * minute - place * 20_000),
    kind: 'alarm',
    stream: 'main',
    text: 'invented: raised',
    by: null,
    savedMs: null,
    severity: 'abnormal',
  }),
)

export const alarmBannerStates: Group = {
  name: 'Alarm banner',
  isWide: true,
  shown: [
    ['empty: nothing stands', banner([])],
    ...shownStates.map((state) => [alarmStateWords[state], banner([inState(state)])] as const),
    ...alarmPriorities.map((priority) => [priorityWords[priority], banner([alarm({ priority })])] as const),
    ['a limit, twice', banner([overLimit])],
    ['advice', banner([advice])],
    ['more than fit', banner(many)],
    ['a flood', banner(many, true, raisedInFlood)],
    ['replay: nothing can be done', banner([alarm(), advice], false)],
    ['the station is no longer heard', banner([alarm(), overLimit], true, [], nowMs - 45_000)],
  ],
}
export const standingAlarmStates: Group = {
  name: 'Alarm in the list',
  shown: [
    ...shownStates.map((state) => [alarmStateWords[state], standing(inState(state))] as const),
    ['a limit, first of three', standing(overLimit, known, 3)],
    ['advice', standing(advice)],
    ['replay', standing(alarm(), replayed)],
  ],
}
