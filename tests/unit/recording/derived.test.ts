import { join } from 'node:path'
import { expect, test } from 'vitest'
import type { AlarmTransition } from '../../../protocols/words/alarms.ts'
import type { TraceMinute } from '../../../server/recording/recording.ts'
import { openRecording, type RecordingReader } from '../../../server/recording/recording-reader.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { aBlock, aFolder, aHeader, aLine, eveningMs, recorded } from '../../support/a-recording.ts'

const raised: AlarmTransition = {
  alarm: 'limit:co-30m',
  class: 'limit',
  cause: 'limit',
  stream: 'main',
  channel: 'co',
  priority: 'high',
  atMs: eveningMs,
  from: 'normal',
  to: 'raised',
  input: 'enter',
  active: true,
  value: 112.5,
  limit: 100,
  unit: 'mg/m3',
  by: null,
  note: null,
  untilMs: null,
}
const shelved: AlarmTransition = {
  ...raised,
  from: 'raised',
  to: 'shelved',
  input: 'shelve',
  by: 'Kim',
  note: 'trap\nbeing emptied',
  untilMs: eveningMs + 600_000,
}
const span = (startMs: number, endMs: number | null, phase: 'measure' | 'purge') =>
  ({ stream: 'main', phase, startMs, endMs, cause: 'signal', inferred: true, readings: 4 }) as const

function read<T>(path: string, what: (recording: RecordingReader) => T): T {
  const recording = openRecording(path)
  try {
    return what(recording)
  } finally {
    recording.close()
  }
}

test('numbers of blocks come back to the last bit, and a later row of the same average replaces the earlier', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const empty = aBlock(1, {
    mean: null,
    coverage: null,
    valid: false,
    reasons: ['nothing_counted', 'gap'],
    countedMs: 0,
  })
  const asMass = aBlock(1, {
    unit: 'mg/m3',
    quantity: 'mass_concentration',
    conditions: '273.15K,101.325kPa',
    referenceOxygen: 3,
  })
  const blocks = [aBlock(0, { state: 'provisional', mean: 7 }), aBlock(0), empty, asMass].map(
    (row) => ({ table: 'block', row }) as const,
  )
  recorded(path, [[aLine(1)]], [...blocks, { table: 'rolling', row: aBlock(5) }])
  expect(read(path, (recording) => recording.blocks())).toEqual([aBlock(0), empty, asMass])
  expect(read(path, (recording) => recording.blocks({ fromMs: eveningMs + 60_000, quantity: 'as_read' }))).toEqual([
    empty,
  ])
  expect(read(path, (recording) => recording.rolling())).toEqual([aBlock(5)])
})

test('alarm transitions come back in the order in which they happened, also those of one instant', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(
    path,
    [],
    [raised, shelved, raised].map((row) => ({ table: 'alarm', row })),
  )
  expect(read(path, (recording) => recording.alarms())).toEqual([raised, shelved, raised])
})

test('a back-dated purge supersedes what was stored before it was recognised', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const [start, onset, noticed] = [eveningMs, eveningMs + 60_000, eveningMs + 80_000]
  const told = [
    span(start, null, 'measure'),
    span(noticed, null, 'purge'),
    span(start, onset, 'measure'),
    span(onset, null, 'purge'),
  ]
  recorded(
    path,
    [],
    told.map((row) => ({ table: 'phase-span', row })),
  )
  expect(read(path, (recording) => recording.phaseSpans())).toEqual([
    span(start, onset, 'measure'),
    span(onset, null, 'purge'),
  ])
  expect(read(path, (recording) => recording.phaseSpans({ fromMs: onset, toMs: noticed }))).toEqual([
    span(onset, null, 'purge'),
  ])
})

test('plant spans, zeros and notices come back', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const plant = { state: 'running', startMs: eveningMs, endMs: null, cause: 'operator' } as const
  const zero = {
    channel: 'co',
    atMs: eveningMs,
    mean: -0.4,
    standardDeviation: null,
    count: 12,
    used: true,
    inUse: 0.2,
    clean: true,
    middleMs: eveningMs - 60_000,
  }
  const notice = { code: 'gap', stream: null, channel: null, atMs: eveningMs, text: 'no line for 12 s' } as const
  recorded(
    path,
    [],
    [
      { table: 'plant-span', row: plant },
      { table: 'zero', row: zero },
      { table: 'notice', row: notice },
    ],
  )
  expect(read(path, (recording) => [recording.plantSpans(), recording.zeros(), recording.notices()])).toEqual([
    [plant],
    [zero],
    [notice],
  ])
})

test('a minute of the trace comes back value by value; without a value it is NaN, never 0', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const whole = new Float64Array([9, 0, 1000.25, 2000])
  const minute = (mean: number): TraceMinute => ({
    stream: 'main',
    minuteMs: eveningMs,
    offsetsMs: whole.subarray(1),
    channels: ['o2', 'co'].map((channel) => ({
      channel,
      asRead: new Float32Array([mean, NaN, -0.5]),
      corrected: new Float32Array(3),
      referred: new Float32Array([NaN, NaN, NaN]),
    })),
  })
  recorded(
    path,
    [],
    [
      { table: 'trace', row: minute(1) },
      { table: 'trace', row: minute(8) },
    ],
  )
  for (const stage of ['asRead', 'corrected', 'referred'] as const) {
    const found = (fromMs: number, channels = ['o2', 'co']) =>
      read(path, (recording) => recording.traceStage('main', fromMs, fromMs + 60_000, channels, stage))
    const { minuteMs, offsetsMs, channels } = minute(8)
    const told = channels.map(({ channel, [stage]: values }) => ({ minuteMs, offsetsMs, channel, values }))
    expect(found(eveningMs)).toEqual(told)
    expect(found(eveningMs, ['co', 'never-heard-of'])).toEqual(told.slice(1))
    expect(found(eveningMs + 1)).toEqual([])
  }
})

test('what is derived anew takes the place of all that was derived before', () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  recorded(
    path,
    [],
    [
      { table: 'alarm', row: raised },
      { table: 'block', row: aBlock(0) },
      { table: 'all-anew' },
      { table: 'alarm', row: shelved },
    ],
  )
  expect(read(path, (recording) => [recording.alarms(), recording.blocks()])).toEqual([[shelved], []])
})

test('a derived row that no table takes is told of and never keeps a line from being stored', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  const troubles: string[] = []
  writer.onChange((change) => change.kind === 'trouble' && troubles.push(`${change.code} ${change.detail}`))
  writer.append(aLine(1))
  writer.derive([
    {
      table: 'zero',
      row: {
        channel: 'co',
        atMs: eveningMs,
        mean: NaN,
        standardDeviation: null,
        count: 1,
        used: true,
        inUse: null,
        clean: true,
        middleMs: eveningMs,
      },
    },
    { table: 'block', row: aBlock(0) },
  ])
  await writer.close()
  expect(troubles).toEqual([expect.stringContaining('derived-refused 1 rows: zero')])
  expect(read(path, (recording) => [recording.extent().lines, recording.blocks().length])).toEqual([1, 1])
})

test('no commit holds an input without what follows from it, however many come at once', async () => {
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  const seen: number[][] = []
  writer.onChange(() => {
    seen.push(read(path, (recording) => [recording.extent().lines, recording.blocks().length]))
  })
  // So many inputs fill a commit; the block follows from the last of them.
  for (let n = 1; n <= 4096; n++) writer.append(aLine(n))
  writer.derive([{ table: 'block', row: aBlock(0) }])
  await writer.close()
  expect(seen[0]).toEqual([4096, 1])
})
