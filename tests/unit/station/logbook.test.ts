import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openRecording } from '../../../server/recording/recording-reader.ts'
import { createRecording } from '../../../server/recording/recording-writer.ts'
import { channelWords } from '../../../server/station/channel-words.ts'
import { eventEntry, outputEntry } from '../../../server/station/logbook.ts'
import { aFolder, aHeader, eveningMs } from '../../support/a-recording.ts'

const stamp = { kind: 'operator', by: 'A. Tester', atMs: eveningMs + 9000, monotonicMs: 9000 } as const
const wrong = { ...stamp, action: { do: 'note', text: 'load 80 %', pressedMs: eveningMs } } as const

test('a correction is recorded as an entry of its own that names the one it corrects', async () => {
  const original = eventEntry(wrong)
  const corrects = original?.id ?? ''
  const path = join(aFolder(), 'a.flue.sqlite')
  const writer = await createRecording(path, aHeader())
  writer.append(wrong)
  writer.append({ ...stamp, action: { do: 'note', text: 'load 85 %', pressedMs: eveningMs + 8000, corrects } })
  await writer.close()

  const recording = openRecording(path)
  const entries = [...recording.inputs()].map(eventEntry)
  recording.close()

  expect(entries).toEqual([
    expect.objectContaining({ kind: 'note', text: 'load 80 %', id: corrects }),
    expect.objectContaining({ kind: 'note', text: 'load 85 %', corrects, savedMs: stamp.atMs }),
  ])
  expect(entries[0]).not.toHaveProperty('corrects')
})

const words = channelWords([
  { id: 'co', species: 'CO', unit: 'ppm' },
  { id: 'nox', species: 'NOx', unit: 'ppm' },
])
const zero = {
  kind: 'zero',
  stream: 'main',
  channel: 'co',
  atMs: eveningMs,
  middleMs: eveningMs,
  mean: 0.29571,
  standardDeviation: 0.6213,
  count: 140,
  inUse: 0.38804,
  used: true,
  clean: true,
} as const

test.each([
  [{}, 'zero of CO: 0.30 ± 0.62 ppm from 140 readings, before 0.39, subtracted from here on'],
  [
    { mean: -0.004, standardDeviation: 1.1, inUse: null, used: false },
    'zero of CO: 0.0 ± 1.1 ppm from 140 readings, noted, not subtracted',
  ],
  // What a computed channel shows of air is a rest of arithmetic, not a figure.
  [
    { mean: 6.349e-13, standardDeviation: 1.6e-12, inUse: null },
    'zero of CO: 0.0000 ± 0.0000 ppm from 140 readings, subtracted from here on',
  ],
  [{ channel: 'gone', inUse: null }, 'zero of gone: 0.30 ± 0.62 from 140 readings, subtracted from here on'],
])('a zero is told with its gas, its unit and no more digits than its spread leaves (%#)', (more, text) => {
  expect(outputEntry({ ...zero, ...more }, words)?.text).toBe(text)
})

const transition = {
  alarm: 'health:lost-link:main',
  class: 'health',
  cause: 'lost-link',
  stream: 'main',
  channel: null,
  priority: 'high',
  atMs: eveningMs,
  from: 'normal',
  to: 'raised',
  input: 'enter',
  active: true,
  value: null,
  limit: null,
  unit: null,
  by: null,
  note: null,
  untilMs: null,
} as const

test.each([
  [{}, 'Link to the instrument lost: raised'],
  [
    {
      alarm: 'limit:nox-30m',
      class: 'limit',
      cause: 'limit',
      channel: 'nox',
      value: 204.3216,
      limit: 200,
      unit: 'mg/m3',
    },
    'NOₓ: Limit passed (nox-30m): raised (204.3 against 200 mg/m³)',
  ],
] as const)('an alarm stands in the logbook under the name that the screens give it (%#)', (more, text) => {
  expect(outputEntry({ kind: 'alarm', transition: { ...transition, ...more } }, words)?.text).toBe(text)
})
