import { type EntryGroup, entryGroups } from '../protocols/live/requests.ts'
import { type ValueQuantity, valueQuantities } from '../protocols/words/quantities.ts'

/** Which rows the averages show. */
export interface RowFilter {
  /** Empty: the one that the limits are set for. */
  readonly average: string
  /** A channel's id; empty: all but the supporting ones; `supportingOnes`: those. */
  readonly channel: string
  readonly quantity: ValueQuantity | 'most-referred' | ''
  readonly only: 'all' | 'valid' | 'invalid'
}
export const usualRows: RowFilter = { average: '', channel: '', quantity: 'most-referred', only: 'all' }

/** Which of a channel's values the trends show. `limits`: what its limits are set in; without limits the most referred. */
export const trendValues = ['limits', 'corrected', 'asRead'] as const
export type TrendValue = (typeof trendValues)[number]

export { type EntryGroup, entryGroups }

/** What was picked on the views, beside the stretch of time. */
export interface Picks {
  readonly rows: RowFilter
  readonly trendValue: TrendValue
  /** A channel laid over every chart, with an axis at the right; empty: none. */
  readonly beside: string
  /** Of the logbook. */
  readonly entries: EntryGroup
}
export const usualPicks: Picks = { rows: usualRows, trendValue: 'limits', beside: '', entries: 'all' }

/** In the address an empty pick has a word, since a name without a value says nothing. */
const everyValue = 'all'
const onlyOnes = ['all', 'valid', 'invalid'] as const

const known = <T extends string>(text: string | null, all: readonly T[], otherwise: T): T =>
  all.find((one) => one === text) ?? otherwise

/** The picks of an address. What is not known falls back; a channel or an average is looked for where it is shown. */
export function readPicks(asked: URLSearchParams): Picks {
  const value = asked.get('value')
  return {
    rows: {
      average: asked.get('length') ?? usualRows.average,
      channel: asked.get('channel') ?? usualRows.channel,
      quantity: value === everyValue ? '' : (valueQuantities.find((one) => one === value) ?? usualRows.quantity),
      only: known(asked.get('validity'), onlyOnes, usualRows.only),
    },
    trendValue: known(asked.get('values'), trendValues, usualPicks.trendValue),
    beside: asked.get('beside') ?? usualPicks.beside,
    entries: known(asked.get('entries'), entryGroups, usualPicks.entries),
  }
}

/** Writes what differs from the usual, so that a plain address stays plain. */
export function writePicks(query: URLSearchParams, { rows, trendValue, beside, entries }: Picks): void {
  const said = [
    ['length', rows.average, usualRows.average],
    ['channel', rows.channel, usualRows.channel],
    ['value', rows.quantity || everyValue, usualRows.quantity],
    ['validity', rows.only, usualRows.only],
    ['values', trendValue, usualPicks.trendValue],
    ['beside', beside, usualPicks.beside],
    ['entries', entries, usualPicks.entries],
  ] as const
  for (const [name, text, usual] of said) if (text !== usual) query.set(name, text)
}
