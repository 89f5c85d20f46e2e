import { html } from 'lit'
import type { AmendingCheck, AmendingExclusion } from '../../protocols/live/amend.ts'
import { minute, nowMs, station } from './invented.ts'
import type { Group } from './shown.ts'
import '../views/logbook/amendments-list.ts'

const by = 'M. Example'
const excluded: AmendingExclusion = {
  id: 'exclusion-1',
  fromMs: nowMs - 60 * minute,
  toMs: nowMs - 55 * minute,
  stream: null,
  channel: null,
  reason: 'probe out of the duct',
  by,
  toldMs: nowMs - 50 * minute,
  withdrawn: null,
}
const checked: AmendingCheck = {
  id: 'check-2-span-o2',
  kind: 'span',
  channel: 'o2',
  performedMs: nowMs - 300 * minute,
  expected: 10,
  response: 9.82,
  direct: null,
  gas: 'invented cylinder 7',
  by,
  toldMs: nowMs - 290 * minute,
  withdrawn: null,
}
const withdrawn = { by: 'N. Example', toldMs: nowMs - minute, reason: 'it was another stretch' }

const list = (exclusions: readonly AmendingExclusion[], checks: readonly AmendingCheck[], changesInAll = 0) =>
  html`<amendments-list .amendments=${{ exclusions, checks, changesInAll, changes: [] }} .channels=${station().channels} .zone=${station().clock}></amendments-list>`

export const amendmentStates: Group = {
  name: 'Exclusions and checks',
  shown: [
    ['empty: nothing amends the run', list([], [])],
    ['an exclusion in force', list([excluded], [], 14)],
    ['of one channel', list([{ ...excluded, channel: 'nox' }], [], 1)],
    ['of a channel that is no longer there', list([{ ...excluded, channel: 'so2' }], [])],
    ['an exclusion taken back', list([{ ...excluded, withdrawn }], [], 28)],
    ['a check in force', list([], [checked])],
    [
      'a zero check, also with the gas at the analyser',
      list([], [{ ...checked, kind: 'zero', expected: 0, response: 0.12, direct: 0.05 }]),
    ],
    [
      'a check taken back',
      list([], [{ ...checked, withdrawn: { ...withdrawn, reason: 'it was another cylinder' } }], 3),
    ],
    ['both', list([excluded, { ...excluded, id: 'exclusion-3', withdrawn }], [checked], 42)],
  ],
}
