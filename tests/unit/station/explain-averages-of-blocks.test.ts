import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { explainRecording } from '../../../server/station/explain/explain-recording.ts'
import { explainText } from '../../../server/station/explain/explain-text.ts'
import { aRecordedNight } from '../../support/a-recorded-night.ts'
import { minute, ten } from '../../support/engine-night.ts'

// By hand: of the half-hours from 10:00 the first has a mean of (150 · 40 + 30 · 400) / 180 = 100 ppm, the other three 40 ppm.
// Two hours: (100 + 40 + 40 + 40) / 4 = 55 ppm.

const folder = mkdtempSync(join(tmpdir(), 'of-blocks-'))
let path = ''
beforeAll(async () => {
  const night = await aRecordedNight(folder, {
    averaging: {
      blocks: ['PT30M'],
      ofBlocks: [
        { average: 'PT2H', of: 'PT30M', window: 'fixed', valid: { atLeastValid: 3 } },
        { average: 'PT1H', of: 'PT30M', window: 'rolling', valid: { share: '1/2' } },
      ],
    },
  })
  path = night.path
})
afterAll(() => rmSync(folder, { recursive: true, force: true }))

test('an average of blocks is told by its blocks, their number and their mean', () => {
  const asked = { startMs: ten, channel: 'co', average: 'PT2H', quantity: 'as_read' } as const
  const answer = explainRecording(path, asked)
  expect(answer).toMatchObject({ agrees: true, kind: 'block', row: { mean: 55 }, readings: [] })
  expect(answer.blocks?.map(({ startMs, mean, valid }) => [(startMs - ten) / minute, mean, valid])).toEqual([
    [0, 100, true],
    [30, 40, true],
    [60, 40, true],
    [90, 40, true],
  ])
  expect(answer.steps.map(({ inputs, result }) => [inputs.map(({ value }) => value), result])).toEqual([
    [[220, 4], 55],
    [[4, 4], 1],
  ])
  expect(answer.validity.rule).toContain('at least 3 of its blocks are valid')
  const text = explainText(answer, { readings: true })
  expect(text).toContain('Blocks: start, end, mean')
  expect(text.match(/ 40 ppm$/gm)).toHaveLength(3)
})

test('a rolling average of blocks is told the same way', () => {
  const answer = explainRecording(path, {
    startMs: ten,
    channel: 'co',
    average: 'PT1H',
    quantity: 'as_read',
    kind: 'rolling',
  })
  expect([answer.row.mean, answer.blocks?.length, answer.steps[0]?.result]).toEqual([70, 2, 70])
})
