import type { OperatorAction } from '../events.ts'
import { type Alarm, shownStateOf } from './alarm.ts'
import type { AlarmJournal } from './journal.ts'
import { changesAlarm, stepAlarm, unshelved } from './states.ts'
import type { TimeAxis } from './time-axis.ts'

export type AlarmAction = Extract<OperatorAction, { readonly alarm: string }>
export type Answer = { readonly ok: true } | { readonly ok: false; readonly error: string }

/** Nobody shelves an alarm for longer than a day: the next shift must decide again. Our choice, after ISA-18.2's time limit on shelving. */
export const longestShelfMs = 24 * 3_600_000

const done: Answer = { ok: true }
const refuse = (error: string): Answer => ({ ok: false, error })

/**
 * What a person does to an alarm. Checks first, changes only then; an error is a sentence for the operator.
 * `station`: the axis on which shelves end. `by` and a note or reason are asked for where the logbook needs them.
 */
export function operateAlarm(
  alarm: Alarm,
  action: AlarmAction,
  by: string,
  atMs: number,
  station: TimeAxis,
  journal: AlarmJournal,
): Answer {
  const name = by.trim()
  const note = action.note.trim()
  if (name === '') return refuse('a name is needed: the logbook says who')
  const from = shownStateOf(alarm)
  switch (action.do) {
    case 'acknowledge':
      if (note === '') return refuse('acknowledging takes a note')
      if (from === 'shelved') return refuse(`${alarm.id} is shelved: bring it back first, then acknowledge it`)
      if (!changesAlarm(alarm.kind, alarm.state, 'acknowledge')) {
        return refuse(
          alarm.state === 'normal'
            ? `${alarm.id} is normal: there is nothing to acknowledge`
            : `${alarm.id} is acknowledged already`,
        )
      }
      alarm.state = stepAlarm(alarm.kind, alarm.state, 'acknowledge')
      break
    case 'reset':
      if (from === 'shelved') return refuse(`${alarm.id} is shelved: bring it back first, then reset it`)
      if (alarm.active) return refuse(`${alarm.id} still stands: it can be reset once its cause has gone`)
      if (!changesAlarm(alarm.kind, alarm.state, 'reset')) {
        return refuse(
          alarm.state === 'latched-raised'
            ? `${alarm.id} is not acknowledged: acknowledge it first, then reset it`
            : `${alarm.id} is not latched: there is nothing to reset`,
        )
      }
      alarm.state = stepAlarm(alarm.kind, alarm.state, 'reset')
      break
    case 'shelve':
      if (note === '') return refuse('shelving takes a reason')
      if (!(action.untilMs > atMs)) return refuse('the shelving would end before it began')
      if (action.untilMs - atMs > longestShelfMs) return refuse('an alarm can be shelved for 24 hours at most')
      alarm.shelvedUntilMs = action.untilMs
      station.set(alarm.shelf, action.untilMs)
      break
    case 'unshelve':
      if (from !== 'shelved') return refuse(`${alarm.id} is not shelved`)
      station.clear(alarm.shelf)
      takeFromShelf(alarm)
      break
  }
  journal.record(alarm, from, action.do, atMs, name, note)
  return done
}

/** Ends the shelving: the alarm is raised anew where its condition stands. */
export function takeFromShelf(alarm: Alarm): void {
  alarm.shelvedUntilMs = null
  alarm.state = unshelved(alarm.state)
}
