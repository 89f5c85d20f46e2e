import type { AlarmInput, AlarmState } from '../../../protocols/words/alarms.ts'

/** What an alarm is in underneath; shelving and suppression lie over it and leave it in place. */
export type OwnState = Exclude<AlarmState, 'shelved' | 'suppressed'>
/** Inputs that move the state underneath. */
export type OwnInput = Extract<AlarmInput, 'enter' | 'leave' | 'acknowledge' | 'reset'>
/** `plain`: returns by itself once acknowledged. `latched`: stays until reset by hand. `advice`: comes and goes by itself. */
export type AlarmKind = 'plain' | 'latched' | 'advice'
type Table = Readonly<Record<OwnState, Readonly<Partial<Record<OwnInput, OwnState>>>>>

/**
 * Rows: now. Columns: what happens. A blank changes nothing.
 * Source: alarm states of IEC 62682 / ISA-18.2 (from memory); the latch needs an operator's reset (OPC UA Part 9, 4.8).
 * Acknowledge and return may come in either order, and both orders end in normal. A latched alarm that nobody has
 * acknowledged cannot be reset: first somebody says that they saw it (our choice).
 */
const plain: Table = {
  normal: { enter: 'raised' },
  raised: { leave: 'returned', acknowledge: 'acknowledged' },
  acknowledged: { leave: 'normal' },
  returned: { enter: 'raised', acknowledge: 'normal' },
  'latched-raised': { enter: 'raised', acknowledge: 'latched-acknowledged' },
  'latched-acknowledged': { enter: 'raised', reset: 'normal' },
}
const tables: Readonly<Record<AlarmKind, Table>> = {
  plain,
  latched: {
    ...plain,
    raised: { leave: 'latched-raised', acknowledge: 'acknowledged' },
    acknowledged: { leave: 'latched-acknowledged' },
  },
  advice: { ...plain, raised: { leave: 'normal', acknowledge: 'acknowledged' } },
}

/**
 * What stands when a shelf ends. A standing condition is announced anew, whoever had acknowledged it before; one that
 * has gone leaves nothing to do. A latch is not undone by shelving. Source: ISA-18.2 as tabulated: "A or B by the present condition".
 */
const afterShelf: Readonly<Record<OwnState, OwnState>> = {
  normal: 'normal',
  raised: 'raised',
  acknowledged: 'raised',
  returned: 'normal',
  'latched-raised': 'latched-raised',
  'latched-acknowledged': 'latched-acknowledged',
}

export const stepAlarm = (kind: AlarmKind, state: OwnState, input: OwnInput): OwnState =>
  tables[kind][state][input] ?? state
/** Whether the input does anything in this state. */
export const changesAlarm = (kind: AlarmKind, state: OwnState, input: OwnInput): boolean =>
  tables[kind][state][input] !== undefined
export const unshelved = (state: OwnState): OwnState => afterShelf[state]

/** The state that is told: a shelf hides suppression, suppression hides what lies under it; normal needs no hiding by suppression. */
export const shownState = (state: OwnState, isShelved: boolean, isSuppressed: boolean): AlarmState =>
  isShelved ? 'shelved' : isSuppressed && state !== 'normal' ? 'suppressed' : state
