import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { isFlagged, signOf } from '../../../protocols/live/flags.ts'
import type { LogbookEntry } from '../../../protocols/live/messages.ts'
import type { AlarmTransition } from '../../../protocols/words/alarms.ts'
import type { LogbookQuery } from '../../../server/http/station-face.ts'
import type { Derived, Unnumbered } from '../../../server/recording/recording.ts'
import { openRecording, type RecordingReader } from '../../../server/recording/recording-reader.ts'
import { flagsOf } from '../../../server/station/flags.ts'
import { logbookPage } from '../../../server/station/logbook-page.ts'
import { aFolder, aLine, eveningMs, recorded } from '../../support/a-recording.ts'

// Invented: three hundred minutes in which something happens at each, and a few things that happen but once.

const minute = 60_000
const at = (n: number): number => eveningMs + n * minute
const minutes = Array.from({ length: 300 }, (_, n) => n)
const stamped = (n: number) => ({ atMs: at(n), monotonicMs: 0 })

const aTransition = (differs: Pick<AlarmTransition, 'atMs' | 'input' | 'class'>): AlarmTransition => ({
  alarm: 'limit:co-30m',
  cause: 'limit',
  stream: 'main',
  channel: 'co',
  priority: 'high',
  from: 'normal',
  to: 'raised',
  active: true,
  value: 112.5,
  limit: 100,
  unit: 'mg/m3',
  by: null,
  note: null,
  untilMs: null,
  ...differs,
})
const inputs: Unnumbered[] = [
  { kind: 'run', change: 'start', reason: 'operator', by: 'A. Tester', ...stamped(0) },
  ...minutes.flatMap((n): Unnumbered[] => [
    aLine(n * 60),
    ...(n % 7 === 3
      ? [
          {
            kind: 'link',
            stream: 'main',
            attempt: 1,
            detail: '',
            state: n % 2 ? 'lost' : 'open',
            ...stamped(n),
          } as const,
        ]
      : []),
    // Written down an hour after what it is about.
    ...(n === 200
      ? [
          {
            kind: 'operator',
            by: 'A. Tester',
            action: { do: 'note', text: 'soot', pressedMs: at(140) },
            ...stamped(n),
          } as const,
        ]
      : []),
  ]),
  { kind: 'run', change: 'end', reason: 'operator', by: null, ...stamped(300) },
]
const derived: Derived[] = minutes.flatMap((n): Derived[] => [
  {
    table: 'alarm',
    row: aTransition({ atMs: at(n), input: n % 2 ? 'leave' : 'enter', class: n % 5 ? 'limit' : 'advice' }),
  },
  ...(n % 11 === 0
    ? [
        {
          table: 'notice',
          row: {
            code: n % 2 ? 'gap' : 'fault_cleared',
            stream: 'main',
            channel: null,
            atMs: at(n),
            text: `no line for ${n} s`,
          },
        } as const,
      ]
    : []),
])

let reader: RecordingReader
beforeEach(() => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(path, [inputs], derived)
  reader = openRecording(path)
})
afterEach(() => reader.close())

const everything: LogbookQuery = { group: 'all', flagged: false, most: Number.MAX_SAFE_INTEGER }
const all = (): LogbookEntry[] => logbookPage(reader, everything).entries

/** Page after page, from the newest back, as the *Logbook* asks. */
function paged(query: Omit<LogbookQuery, 'toMs'>): { entries: LogbookEntry[]; lefts: number[] } {
  let entries: LogbookEntry[] = []
  const lefts: number[] = []
  for (let left = Number.POSITIVE_INFINITY; left > 0; lefts.push(left)) {
    const page = logbookPage(reader, { ...query, toMs: entries[0]?.atMs })
    entries = [...page.entries, ...entries]
    left = page.left
    if (page.entries.length === 0) break
  }
  return { entries, lefts }
}

describe('pages of the logbook', () => {
  test.each(['all', 'note', 'alarm', 'event'] as const)(
    'together they hold %s of it, in order, none twice',
    (group) => {
      const wanted = logbookPage(reader, { ...everything, group }).entries
      const { entries, lefts } = paged({ ...everything, group, most: 17 })
      expect(entries).toEqual(wanted)
      expect(wanted.length).toBeGreaterThan(0)
      expect(lefts.at(-1)).toBe(0)
    },
  )
  test('each says how many there are before it', () => {
    const whole = all()
    const page = logbookPage(reader, { ...everything, most: 17 })
    expect(page.left).toBe(whole.length - page.entries.length)
    expect(page.entries.length).toBeLessThan(17 + 4)
  })
  test('a note lies where it is about, not where it was saved', () => {
    const hour = logbookPage(reader, { ...everything, fromMs: at(140), toMs: at(141) }).entries
    expect(hour.map(({ text }) => text)).toContain('soot')
  })
  test('of a crowd the start and the end of the run, what people wrote and faults stay', () => {
    const { entries, left } = logbookPage(reader, { ...everything, flagged: true, most: 20 })
    expect(entries.filter(({ kind }) => kind === 'run').length).toBe(2)
    expect(entries.filter(({ kind }) => kind === 'note').length).toBe(1)
    expect(entries.length).toBe(20)
    expect(left).toBe(all().filter(isFlagged).length - 20)
  })
})

describe('flags folded for a chart', () => {
  const columns = { fromMs: at(0), toMs: at(301) }
  test.each([1, 7, 40, 4000])('in %i columns none is lost, and the sign is that of what matters most', (count) => {
    const columnMs = (columns.toMs - columns.fromMs) / count
    const flags = flagsOf(reader, { ...columns, columnMs })
    const flagged = all().filter(isFlagged)
    expect(flags.length).toBeLessThanOrEqual(count)
    expect(flags.reduce((sum, flag) => sum + flag.count, 0)).toBe(flagged.length)
    for (const { atMs, endMs, count: inIt, sign, kind } of flags) {
      const own = flagged.filter((entry) => entry.atMs >= atMs && entry.atMs <= endMs)
      const signs = own.map(signOf)
      expect(own.length).toBe(inIt)
      expect(sign).toBe((['alarm', 'caution', 'note', 'event'] as const).find((one) => signs.includes(one)))
      expect(own.filter((entry) => entry.atMs === atMs).map((entry) => entry.kind)).toContain(kind)
    }
  })
  test('what lies outside the stretch is not counted', () => {
    const flags = flagsOf(reader, { fromMs: at(1), toMs: at(300), columnMs: minute })
    expect(flags.some(({ kind }) => kind === 'run')).toBe(false)
  })
})
