import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, expect, test } from 'vitest'
import type { ExplainAnswer } from '../../../protocols/live/explain.ts'
import { explainRecording } from '../../../server/station/explain/explain-recording.ts'
import { explainText } from '../../../server/station/explain/explain-text.ts'
import { importLogTo } from '../../../server/station/import-log.ts'
import { aNightStation, gas, lineText, minute, ten } from '../../support/engine-night.ts'

const folder = mkdtempSync(join(tmpdir(), 'zeros-told-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** An hour at 42 ppm between two purges of ten minutes, with a line every ten seconds; the purges read 1 ppm and `second`. */
async function explained(second: number): Promise<ExplainAnswer> {
  const station = aNightStation({
    channels: [gas('co')],
    corrections: {
      zero: 'interpolated',
      drift: { limitPercent: 50, bases: { co: 100 }, correctAbovePercent: 2, beyond: 'remark' },
    },
    averaging: { blocks: ['PT30M'] },
    stream: { timeFrom: 'line', expectEverySeconds: 10 },
  })
  const lines = Array.from({ length: 540 }, (_, number) => {
    const place = number / 6
    const purge = place < 10 ? 1 : place >= 70 && place < 80 ? second : null
    return lineText(ten + number * 10_000, { mode: purge === null ? 'S' : 'P', co: purge ?? 42 })
  })
  const [log, path] = [join(folder, `${second}.log`), join(folder, `${second}.flue.sqlite`)]
  writeFileSync(log, `${lines.join('\n')}\n`)
  await importLogTo(log, station, JSON.stringify(station), path)
  return explainRecording(path, {
    startMs: ten + 30 * minute,
    channel: 'co',
    average: 'PT30M',
    quantity: 'drift_corrected',
  })
}

test('a zero that moved enough is told as a line between the two, each reading with its own', async () => {
  const answer = await explained(5)
  expect(answer).toMatchObject({ agrees: true, row: { state: 'final' }, zeroCourses: [{ channel: 'co', how: 'line' }] })
  const [first, second] = answer.zeros
  // By hand: the line through (middle, 1 ppm) and (middle, 5 ppm), at 10:30.
  const share = (ten + 30 * minute - (first?.middleMs ?? 0)) / ((second?.middleMs ?? 0) - (first?.middleMs ?? 0))
  const reading = answer.readings.find(({ atMs }) => atMs === ten + 30 * minute)
  expect([first?.mean, second?.mean]).toEqual([1, 5])
  expect(reading?.values.co?.zero).toBeCloseTo(1 + 4 * share, 12)
  expect(reading?.values.co?.corrected).toBeCloseTo(41 - 4 * share, 12)
})

test('a zero that moved too little to be corrected is told so, and the first holds', async () => {
  // 2 % of 100 ppm are left as they are; the zero moved by 1.5 ppm.
  const answer = await explained(2.5)
  expect(answer).toMatchObject({ agrees: true, row: { mean: 41 }, zeroCourses: [{ channel: 'co', how: 'too small' }] })
  expect(explainText(answer, { readings: false })).toContain('lies too near to be corrected for')
  expect(answer.readings.every(({ values }) => values.co?.zero === 1)).toBe(true)
})
