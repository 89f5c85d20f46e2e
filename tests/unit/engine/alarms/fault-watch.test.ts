import { expect, test } from 'vitest'
import { type LineProfile, lineProfile } from '../../../../protocols/instrument/profile.ts'
import { type FieldFlag, fieldFlag, type StatusTold } from '../../../../protocols/instrument/reader.ts'
import type { InstrumentFault } from '../../../../protocols/words/phases.ts'
import { FaultWatch } from '../../../../server/engine/alarms/fault-watch.ts'

const profileWith = (status: LineProfile['status']): LineProfile =>
  lineProfile.parse({
    form: 'delimited',
    name: 'invented',
    fields: [
      { name: 'co', at: 0 },
      { name: 'state', at: 1 },
    ],
    status,
  })
const inField = profileWith([
  { field: 'state', tokens: { M: { phase: 'measure' }, TRAP: { fault: 'condensate' }, FLOW: { fault: 'pump-flow' } } },
])
const inOwnLines = profileWith([
  {
    tokens: {
      'TRAP FULL': { fault: 'condensate' },
      'PUMP WEAK': { fault: 'pump-flow' },
      PURGE: { phase: 'purge' },
      'ALL CLEAR': { clears: true },
    },
  },
])

const known = (token: string, tells: Partial<StatusTold> = {}): StatusTold => ({ token, known: true, ...tells })
const trap = known('TRAP', { fault: 'condensate' })
const line = (state: FieldFlag, ...status: StatusTold[]) => ({ status, flags: Uint8Array.of(fieldFlag.value, state) })

/** Plays lines, one a second, and gives the faults that stand after each. */
function play(profile: LineProfile, lines: ReturnType<typeof line>[]): InstrumentFault[][] {
  const watch = new FaultWatch(profile, () => {})
  return lines.map((content, second) => {
    watch.line(content, second * 1000)
    return [...watch.standing()]
  })
}

test('a fault in a status field stands while it is repeated and ends when the field tells something else', () => {
  const lines = [
    line(fieldFlag.missing, trap),
    line(fieldFlag.missing, trap),
    line(fieldFlag.missing, known('M', { phase: 'measure' })),
  ]
  expect(play(inField, lines)).toEqual([['condensate'], ['condensate'], []])
})

test('an empty status field ends a fault, a line without the field does not', () => {
  expect(play(inField, [line(fieldFlag.missing, trap), line(fieldFlag.absent), line(fieldFlag.missing)])).toEqual([
    ['condensate'],
    ['condensate'],
    [],
  ])
})

test('an unknown token ends nothing', () => {
  expect(
    play(inField, [line(fieldFlag.missing, trap), line(fieldFlag.missing, { token: '??', known: false })]),
  ).toEqual([['condensate'], ['condensate']])
})

test('a fault told in a line of its own stands until a token that clears, whatever else is told', () => {
  const lines = [
    line(fieldFlag.absent, known('TRAP FULL', { fault: 'condensate' })),
    line(fieldFlag.absent),
    line(fieldFlag.absent, known('PURGE', { phase: 'purge' })),
    line(fieldFlag.absent, known('PUMP WEAK', { fault: 'pump-flow' })),
    line(fieldFlag.absent, known('ALL CLEAR', { clears: true })),
  ]
  expect(play(inOwnLines, lines)).toEqual([
    ['condensate'],
    ['condensate'],
    ['condensate'],
    ['condensate', 'pump-flow'],
    [],
  ])
})

test('a token that clears leaves what is told in the same line', () => {
  const both = line(fieldFlag.absent, known('ALL CLEAR', { clears: true }), known('PUMP WEAK', { fault: 'pump-flow' }))
  expect(play(inOwnLines, [line(fieldFlag.absent, known('TRAP FULL', { fault: 'condensate' })), both])).toEqual([
    ['condensate'],
    ['pump-flow'],
  ])
})

test('the end of one rule’s fault does not end the same fault of another rule', () => {
  const two = profileWith([...inField.status, { tokens: { 'TRAP FULL': { fault: 'condensate' } } }])
  const lines = [
    line(fieldFlag.absent, known('TRAP FULL', { fault: 'condensate' })),
    line(fieldFlag.missing, trap),
    line(fieldFlag.missing),
  ]
  expect(play(two, lines).at(-1)).toEqual(['condensate'])
})

test('each fault is told once when it comes and once when it goes, under its own cause', () => {
  const said: unknown[] = []
  const watch = new FaultWatch(profileWith([{ field: 'state', tokens: { X: { fault: 'other' } } }]), (...told) =>
    said.push(told),
  )
  for (let second = 0; second < 3; second += 1)
    watch.line(line(fieldFlag.missing, known('X', { fault: 'other' })), second * 1000)
  watch.line(line(fieldFlag.missing), 3_000)
  expect(said).toEqual([
    ['other-fault', true, 0],
    ['other-fault', false, 3_000],
  ])
})

test('no fault outlives the instrument it was told of', () => {
  const said: unknown[] = []
  const watch = new FaultWatch(inField, (...told) => said.push(told))
  watch.line(line(fieldFlag.missing, trap), 0)
  watch.forget(5_000)
  expect(said.at(-1)).toEqual(['condensate', false, 5_000])
  expect(watch.isFaulty).toBe(false)
})
