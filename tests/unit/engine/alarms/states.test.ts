import { describe, expect, test } from 'vitest'
import { shownState, stepAlarm, unshelved } from '../../../../server/engine/alarms/states.ts'

// After the state table of ISA-18.2 / IEC 62682 (from memory) and OPC UA Part 9, 4.8, for the latch.
describe('each row of the table', () => {
  test.each([
    ['plain', 'normal', 'enter', 'raised'],
    ['plain', 'raised', 'acknowledge', 'acknowledged'],
    ['plain', 'raised', 'leave', 'returned'],
    ['plain', 'acknowledged', 'leave', 'normal'],
    ['plain', 'returned', 'acknowledge', 'normal'],
    ['plain', 'returned', 'enter', 'raised'],
    ['latched', 'raised', 'leave', 'latched-raised'],
    ['latched', 'raised', 'acknowledge', 'acknowledged'],
    ['latched', 'acknowledged', 'leave', 'latched-acknowledged'],
    ['latched', 'latched-raised', 'acknowledge', 'latched-acknowledged'],
    ['latched', 'latched-raised', 'enter', 'raised'],
    ['latched', 'latched-acknowledged', 'reset', 'normal'],
    ['latched', 'latched-acknowledged', 'enter', 'raised'],
    ['advice', 'raised', 'leave', 'normal'],
  ] as const)('%s alarm: %s, %s → %s', (kind, state, input, next) => {
    expect(stepAlarm(kind, state, input)).toBe(next)
  })

  test.each([
    ['plain', 'normal', 'acknowledge'],
    ['plain', 'acknowledged', 'acknowledge'],
    ['latched', 'latched-raised', 'reset'],
    ['latched', 'raised', 'reset'],
  ] as const)('%s alarm: %s, %s changes nothing', (kind, state, input) => {
    expect(stepAlarm(kind, state, input)).toBe(state)
  })
})

test.each([
  ['acknowledged', 'raised'],
  ['raised', 'raised'],
  ['returned', 'normal'],
  ['latched-raised', 'latched-raised'],
  ['latched-acknowledged', 'latched-acknowledged'],
] as const)('off the shelf, %s becomes %s', (state, next) => {
  expect(unshelved(state)).toBe(next)
})

test('a shelf hides suppression, and suppression hides nothing that is normal', () => {
  expect(shownState('raised', true, true)).toBe('shelved')
  expect(shownState('raised', false, true)).toBe('suppressed')
  expect(shownState('normal', false, true)).toBe('normal')
})
