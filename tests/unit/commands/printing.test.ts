import { expect, test } from 'vitest'
import { noPartText } from '../../../server/commands/printing.ts'

test('lines that take no part are told in words, one of them as one', () => {
  expect([noPartText(1, 'comment'), noPartText(2, 'unreadable_time')]).toEqual([
    '1 line takes no part: a comment',
    '2 lines take no part: time not readable',
  ])
})
