import { describe, expect, test } from 'vitest'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { AlarmTransition } from '../../../protocols/words/alarms.ts'
import type { OperatorAction, RecordedEvent } from '../../../server/engine/events.ts'
import { alarmEntry, eventEntry, outputEntry } from '../../../server/station/logbook.ts'
import { entryText } from '../../../web/parts/entry-text.ts'
import { nowMs, station, stream } from '../../../web/states/invented.ts'

// The station is invented; its clock stands in UTC + 1 h, as the offset in each text shows.
const stamp = { atMs: nowMs, monotonicMs: 0 } as const
const said = (event: RecordedEvent): string => shown(eventEntry(event))
const shown = (entry: LogbookEntry | null): string => (entry ? entryText(entry, station()) : '')
const run = (change: 'start' | 'suspend' | 'resume' | 'end', reason: string): string =>
  said({ kind: 'run', change, reason, by: null, ...stamp })
const operator = (action: OperatorAction): string => said({ kind: 'operator', by: 'A. Tester', action, ...stamp })
const clock = (change: 'step' | 'sleep' | 'speed', byMs: number, speed: number): string =>
  said({ kind: 'clock', change, byMs, speed, ...stamp })

describe('the logbook says in words what the recording keeps as codes', () => {
  test.each([
    ['start', 'at-once', 'Run started with the station'],
    ['start', 'operator', 'Run started by hand'],
    ['start', 'planned', 'Run started at its planned time'],
    ['start', 'next-of-sequence', 'Next run of the sequence started'],
    ['start', 'import', 'Run starts with the first line of the imported log'],
    ['end', 'operator', 'Run ended by hand'],
    ['end', 'end-rule', 'Run ended: its end rule was met'],
    ['end', 'end-of-log', 'Run ends with the last line of the imported log'],
    [
      'suspend',
      'orderly-stop',
      'Run suspended: the station was stopped. The run goes on when the station starts again',
    ],
    [
      'resume',
      'killed',
      'Run resumed: the station had been killed or had lost its power. Lines of the time in between are not in the recording',
    ],
    [
      'resume',
      'orderly-stop',
      'Run resumed: the station had been stopped. Lines of the time in between are not in the recording',
    ],
    ['end', 'reason-of-a-later-version', 'Run ended (reason of a later version)'],
  ] as const)('run: %s, %s', (change, reason, words) => {
    expect(run(change, reason)).toBe(words)
  })

  test.each([
    ['sleep', 5_400_000, 1, 'The computer slept for 1 h 30 min; nothing was recorded meanwhile'],
    [
      'step',
      3_600_000,
      1,
      'The computer’s clock was set forward by 1 h; the station’s own time goes on without the step',
    ],
    [
      'step',
      -90_000,
      1,
      'The computer’s clock was set back by 1 min 30 s; the station’s own time goes on without the step',
    ],
    ['speed', 0, 60, 'The station’s clock runs 60 times as fast as real time'],
    ['speed', 0, 1, 'The station’s clock runs at real speed'],
  ] as const)('clock: %s by %d ms at speed %d', (change, byMs, speed, words) => {
    expect(clock(change, byMs, speed)).toBe(words)
  })

  test.each([
    [{ do: 'mark-phase', stream: null, phase: 'purge' }, 'Phase told: Purging'],
    [
      { do: 'mark-phase', stream: null, phase: null },
      'Phase told before taken back: the instrument and the settings tell it again',
    ],
    [{ do: 'plant-state', state: 'start-up' }, 'Told: plant starting up'],
    [{ do: 'withdraw', id: 'exclusion-1', reason: 'hose was on' }, 'An exclusion was taken back: hose was on'],
    [{ do: 'withdraw', id: 'check-2-span-o2', reason: 'wrong gas' }, 'A check was taken back: wrong gas'],
    [
      {
        do: 'exclude',
        exclusion: {
          id: 'exclusion-1',
          fromMs: nowMs - 300_000,
          toMs: nowMs,
          stream: null,
          channel: 'nox',
          reason: 'hose off',
        },
      },
      /^Excluded from the averages: NOₓ, .*04:12:40 \+01:00 to 04:17:40 \+01:00 \(5 min\)\. hose off$/,
    ],
    [
      {
        do: 'check',
        check: {
          id: 'check-2-span-o2',
          kind: 'span',
          channel: 'o2',
          performedMs: nowMs,
          expected: 10,
          response: 9.82,
          direct: 9.9,
          gas: 'invented cylinder',
        },
      },
      'Span check of O₂: 9.82 % shown for 10 %, 9.9 % with the gas at the analyser. Gas: invented cylinder',
    ],
  ] as const)('what a person told: %o', (action, words) => {
    expect(operator(action)).toEqual(typeof words === 'string' ? words : expect.stringMatching(words))
  })

  const link = (state: 'silent' | 'lost', detail: string): string =>
    said({ kind: 'link', stream: 'main', state, attempt: 1, detail, ...stamp })
  test('a lost link and a silent one say what becomes of them', () => {
    expect(link('lost', 'cable out')).toBe('Link to the instrument lost: cable out. It is opened again by itself')
    expect(link('silent', '')).toBe('Instrument silent, its link was closed. It is opened again by itself')
  })

  test('an alarm has the title that its dialog has, its average in words, and what became of it', () => {
    const transition: AlarmTransition = {
      alarm: 'limit:nox-30m',
      class: 'limit',
      cause: 'limit',
      stream: null,
      channel: 'nox',
      priority: 'medium',
      atMs: nowMs,
      from: 'normal',
      to: 'raised',
      input: 'enter',
      active: true,
      value: 204.3,
      limit: 200,
      unit: 'mg/m3',
      by: null,
      note: null,
      untilMs: null,
    }
    expect(shown(alarmEntry(transition))).toBe(
      'NOₓ: Limit passed, 204 against 200 mg/m³, of the average over 30 minutes: raised',
    )
    const shelved = { ...transition, input: 'shelve', untilMs: nowMs + 1_800_000, note: 'being worked on' } as const
    expect(shown(alarmEntry(shelved))).toMatch(/: shelved until 04:47:40 \+01:00\. being worked on$/)
    const health = {
      ...transition,
      class: 'health',
      cause: 'pump-flow',
      channel: null,
      value: null,
      limit: null,
    } as const
    expect(shown(alarmEntry({ ...health, alarm: 'health:pump-flow:main' }))).toBe('Sample flow too low: raised')
  })

  const notice = (code: 'gap' | 'fault_told' | 'fault_cleared' | 'source_clock_step', text: string): string =>
    shown(outputEntry({ kind: 'notice', code, stream: 'main', channel: null, atMs: nowMs, text }))
  test('gaps have their length in words, faults of the instrument their title', () => {
    expect(notice('gap', 'no line for 570 s')).toBe('No line for 9 min 30 s: the gap is not bridged and counts nothing')
    expect(notice('fault_told', 'the instrument reports: pump-flow')).toBe(
      'The instrument reports: Sample flow too low',
    )
    expect(notice('fault_cleared', 'the instrument no longer reports: filter')).toMatch(
      /^The instrument no longer reports: [A-Z]/,
    )
    expect(notice('source_clock_step', 'the instrument’s clock jumped by 60 s')).toBe(
      'The instrument’s clock jumped by 60 s',
    )
  })

  test('a zero says what became of it, with the unit', () => {
    const zero = {
      kind: 'zero',
      channel: 'nox',
      atMs: nowMs,
      mean: 1.234,
      standardDeviation: 0.11,
      count: 210,
      used: true,
      inUse: 1.1,
      clean: false,
      middleMs: nowMs,
    } as const
    expect(shown(outputEntry(zero))).toBe(
      'Zero of NOₓ: 1.2 ± 0.1 ppm from 210 readings, before 1.1, of air that was not clean, subtracted from here on',
    )
  })
})

test('where there are several instruments an entry says of which it tells; a note stays as it was written', () => {
  const two = station({ streams: [stream(), stream({ id: 'second' })] })
  const lost = eventEntry({ kind: 'link', stream: 'second', state: 'lost', attempt: 1, detail: '', ...stamp })
  const note = eventEntry({
    kind: 'operator',
    by: 'A. Tester',
    action: { do: 'note', text: 'run: resume (killed)', pressedMs: nowMs },
    ...stamp,
  })
  expect(lost && entryText(lost, two)).toMatch(/^second: Link to the instrument lost/)
  expect(note && entryText(note, two)).toBe('run: resume (killed)')
})

test('exports keep the words that they had', () => {
  const resumed = eventEntry({ kind: 'run', change: 'resume', reason: 'killed', by: null, ...stamp })
  expect(resumed?.text).toBe('run: resume (killed)')
})
