import { expect, test } from 'vitest'
import type { OperatorAction, OperatorEvent } from '../../../server/engine/events.ts'
import { amendmentsOf, toldAmendments } from '../../../server/engine/told-amendments.ts'

const told = (atMs: number, by: string, action: OperatorAction): OperatorEvent => ({
  kind: 'operator',
  atMs,
  monotonicMs: atMs,
  by,
  action,
})
const exclusion = { id: 'exclusion-1', fromMs: 1000, toMs: 2000, stream: null, channel: null, reason: 'probe out' }
const check = {
  id: 'check-2-span-co',
  kind: 'span',
  channel: 'co',
  performedMs: 500,
  expected: 400,
  response: 391,
  direct: null,
  gas: 'invented cylinder',
} as const
const events = [
  told(3000, 'A. Tester', { do: 'exclude', exclusion }),
  told(4000, 'A. Tester', { do: 'check', check }),
  told(5000, 'B. Tester', { do: 'withdraw', id: check.id, reason: 'another cylinder' }),
]

test('what is taken back stays told, with who took it back, when and why', () => {
  expect(toldAmendments(events)).toEqual({
    exclusions: [{ ...exclusion, by: 'A. Tester', toldMs: 3000, withdrawn: null }],
    checks: [
      {
        ...check,
        by: 'A. Tester',
        toldMs: 4000,
        withdrawn: { by: 'B. Tester', toldMs: 5000, reason: 'another cylinder' },
      },
    ],
  })
})

test('what is taken back amends no average', () => {
  expect(amendmentsOf(events)).toEqual({
    exclusions: [{ ...exclusion, by: 'A. Tester', toldMs: 3000 }],
    checks: [],
  })
})

test('taking back what nobody told changes nothing', () => {
  const stray = told(6000, 'B. Tester', { do: 'withdraw', id: 'exclusion-9', reason: 'x' })
  expect(toldAmendments([...events, stray])).toEqual(toldAmendments(events))
})
